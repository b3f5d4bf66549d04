import type { Session, SessionRun } from '../inputs/session.ts'
import { power_W } from '../physics/power.ts'
import { convert } from '../physics/units.ts'
import type { SideIndex } from '../statistics/cells.ts'
import type { CurveSet } from '../statistics/figure.ts'
import { gridKernel, gridOf, onGrid, smoothedOnGrid } from '../statistics/grid.ts'
import { type SweepCurve, sweepCurve } from '../statistics/sweep-curve.ts'

/** Torque [N m] = power [W] × this / engine speed [rpm]. [rad/s per rpm, inverted] */
const WATT_RPM_PER_NM = 1 / convert(1, 'rpm', 'rad/s')

const RAD_PER_S_PER_RPM = convert(1, 'rpm', 'rad/s')

/** The curves of a session as exported, on their common grid; scaling to a correction comes after, since both are linear. */
export interface SessionCurves {
  /** Smoothed curves of exported power. [W] */
  readonly smoothed: CurveSet
  /** Interpolated, unsmoothed curves of exported power. [W] */
  readonly raw: readonly Float64Array[]
}

/** Side as the method counts. */
export function sideIndex({ side }: SessionRun): SideIndex {
  return side === 'baseline' ? 0 : 1
}

/**
 * The curves of all used runs on their common grid.
 *
 * @param session the session.
 * @returns the curves; null when a used run has none, or when they share no engine speed. Pure; never throws.
 *
 * Source: measurement-model §2.
 */
export function curvesOf({ used }: Session): SessionCurves | null {
  const sweeps = used.flatMap((run) => sweepOf(run) ?? [])
  if (used.length === 0 || sweeps.length < used.length) return null
  const grid = gridOf(sweeps)
  if (grid === null) return null

  const kernel = gridKernel(grid)
  const raw = sweeps.map((sweep) => onGrid(sweep, grid))
  return {
    raw,
    smoothed: {
      grid,
      power: raw.map((curve) => smoothedOnGrid(curve, kernel)),
      sides: used.map(sideIndex),
      torqueFactor: WATT_RPM_PER_NM,
    },
  }
}

/** The power curve of one run; null where it recorded neither power nor torque over engine speed. */
export function sweepOf({ channels }: SessionRun): SweepCurve | null {
  if (channels?.engineSpeed_rpm == null) return null
  const speed = channels.engineSpeed_rpm
  if (channels.power_W !== null) return sweepCurve(speed, channels.power_W)
  const torque = channels.torque_Nm
  if (torque === null) return null
  return sweepCurve(
    speed,
    torque.map((value, i) => power_W(value, (speed[i] ?? 0) * RAD_PER_S_PER_RPM)),
  )
}

/** Curves multiplied by one number per run. */
export function scaledCurves(curves: CurveSet, factors: readonly number[]): CurveSet {
  return {
    ...curves,
    power: curves.power.map((curve, i) => (factors[i] === 1 ? curve : curve.map((value) => value * (factors[i] ?? 1)))),
  }
}
