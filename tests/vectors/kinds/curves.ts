import { criticalValue } from '../../../packages/sdk/src/engine/statistics/critical-value.ts'
import { rangeOf } from '../../../packages/sdk/src/engine/statistics/grid.ts'
import { meanCurve, peakVertex, valueAtVertex } from '../../../packages/sdk/src/engine/statistics/peak.ts'
import { simultaneousBand } from '../../../packages/sdk/src/engine/statistics/simultaneous-band.ts'
import { sweepCurve } from '../../../packages/sdk/src/engine/statistics/sweep-curve.ts'
import { recordOf, type VectorRecord } from './record.ts'
import { prepared, type VectorRun } from './runs.ts'

/** hp to N m at one engine speed, as the vectors count. */
const HP_TO_NM_RPM = 7120.8

const every = (step: number, values: Float64Array) => [...values].filter((_, i) => i % step === 0)

/** Kind `condition`. */
export function condition(input: { speed: number[]; power: number[] }): unknown {
  const { engineSpeed_rpm, power } = sweepCurve(Float64Array.from(input.speed), Float64Array.from(input.power))
  return { n: power.length, rpm: every(10, engineSpeed_rpm), power: every(10, power) }
}

/** Kind `rice_c`. */
export function riceC(input: {
  cases: { uG2: number; nuG: number; uL2: number; kappa: number; level: number; sides: 1 | 2 }[]
}): unknown {
  return input.cases.map(({ uG2, nuG, uL2, kappa, level, sides }) =>
    criticalValue({ globalU: Math.sqrt(uG2), globalDof: nuG, localU: Math.sqrt(uL2), kappa }, level, sides),
  )
}

/** Kind `peak`. */
export function peak(input: { runs: VectorRun[] }): unknown {
  const { grid, smooth, sides } = prepared(input.runs)
  const ofCurves = (curves: Float64Array[]) => {
    const vertices = ([0, 1] as const).map((side) =>
      peakVertex(meanCurve(curves.filter((_, i) => sides[i] === side)), grid.engineSpeed_rpm),
    )
    return {
      y: curves.map((curve, i) => {
        const vertex = vertices[sides[i] ?? 0]
        return vertex === undefined ? null : valueAtVertex(curve, vertex)
      }),
      where: { 0: vertices[0]?.engineSpeed_rpm, 1: vertices[1]?.engineSpeed_rpm },
      edge: vertices.some(({ isAtEdge }) => isAtEdge),
    }
  }
  const torque = smooth.map((curve) => curve.map((power, i) => (power * HP_TO_NM_RPM) / (grid.engineSpeed_rpm[i] ?? 1)))
  return { power: ofCurves(smooth), torque: ofCurves(torque) }
}

/** Kind `band`. */
export function band(input: {
  runs: VectorRun[]
  facility: VectorRecord | null
  r1: number
  r2: number
  relative: boolean
}): unknown {
  const { grid, smooth, sides, mountings, factors, days, t } = prepared(input.runs)
  const range = rangeOf(grid, input.r1, input.r2)
  if (typeof range === 'string') return { ok: false, reason: range }
  const engineSpeed_rpm = grid.engineSpeed_rpm.slice(range.first, range.last + 1)
  const outcome = simultaneousBand({
    curves: smooth.map((curve) => curve.slice(range.first, range.last + 1)),
    engineSpeed_rpm,
    from_rpm: input.r1,
    to_rpm: input.r2,
    gridStart_rpm: grid.engineSpeed_rpm[0] ?? 0,
    gridEnd_rpm: grid.engineSpeed_rpm.at(-1) ?? 0,
    sides,
    mountings,
    factors,
    days,
    t,
    record: recordOf(input.facility),
    isRelative: input.relative,
    hasWarmUpTerm: false,
    isOrderKnown: true,
  })
  if (!outcome.ok) return outcome
  const { gain, band: found, scope } = outcome.value
  const shown = { ok: found !== null, scope, rpm: every(5, engineSpeed_rpm), D: every(5, gain) }
  if (found === null) return shown
  return {
    ...shown,
    u: every(5, found.u),
    lo: every(
      5,
      gain.map((value, i) => value - found.critical * (found.u[i] ?? 0)),
    ),
    hi: every(
      5,
      gain.map((value, i) => value + found.critical * (found.u[i] ?? 0)),
    ),
    c: found.critical,
    kappa: found.shape.kappa,
    uG: found.shape.globalU,
    uL: found.shape.localU,
    dofG: found.shape.globalDof,
    dof_pt: found.pointwiseDof,
    k_pt: found.pointwiseFactor,
  }
}
