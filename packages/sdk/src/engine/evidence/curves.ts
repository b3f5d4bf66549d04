import type { Session, SessionRun } from '../inputs/session.ts'
import { convert } from '../physics/units.ts'
import type { SideIndex } from '../statistics/cells.ts'
import type { CurveSet } from '../statistics/figure.ts'
import { gridKernel, gridOf, onGrid, smoothedOnGrid } from '../statistics/grid.ts'
import type { Traces } from './trace.ts'

/** Torque [N m] = power [W] × this / engine speed [rpm]. [rad/s per rpm, inverted] */
const WATT_RPM_PER_NM = 1 / convert(1, 'rpm', 'rad/s')

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
 * @param traces of its runs.
 * @returns the curves; null when a used run has none, or when they share no engine speed. Pure; never throws.
 *
 * Source: measurement-model §2.
 */
export function curvesOf({ used }: Session, traces: Traces): SessionCurves | null {
  const sweeps = used.flatMap((run) => traces.get(run)?.curve ?? [])
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

/** Curves multiplied by one number per run. */
export function scaledCurves(curves: CurveSet, factors: readonly number[]): CurveSet {
  return {
    ...curves,
    power: curves.power.map((curve, i) => (factors[i] === 1 ? curve : curve.map((value) => value * (factors[i] ?? 1)))),
  }
}
