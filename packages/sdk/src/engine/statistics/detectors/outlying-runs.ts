import { roundSignificant } from '../../numerics/round-significant.ts'
import { studentT } from '../../numerics/student-t.ts'
import { type ComparedCurves, type Detection, meanOf, runsByCell } from './detection.ts'
import type { NoiseScale } from './noise-scale.ts'

/** p below which a run is outlying, before it is shared out over all runs. [1] Source: measurement-model §8. */
const OUTLYING_P = 0.01

/** ln of each run's mean power: the figure that outliers and drift are looked for in. [1] */
export function logMeanPower({ smooth }: Pick<ComparedCurves, 'smooth'>): Float64Array {
  return Float64Array.from(smooth, (curve) => Math.log(meanOf(curve)))
}

/** Relative variance of that figure from run to run: s0² = g² + 0.1 l². [1] */
export function logMeanVariance({ globalRelSd, localRelSd }: NoiseScale): number {
  return globalRelSd ** 2 + 0.1 * localRelSd ** 2
}

/**
 * The most outlying run of each cell with two or more, each held against the others of its cell.
 *
 * T = |x_i − mean of the others| / √(s2 (1 + 1/(n − 1))), s2 = (d0 s0² + SS of the others)/(d0 + n − 2), p = 2 P(t > T).
 * Observed: the smallest p of the cell. [1] Limit: 0.01 over the number of all runs. Of two runs both are named: the two
 * disagree.
 *
 * @param curves of all runs.
 * @param scale noise sizes.
 * @returns one detection per such cell, in order of first appearance. Pure; never throws.
 *
 * Source: measurement-model §8, outlier-free. Tested: tests/vectors, detect.
 */
export function outlyingRuns(curves: ComparedCurves, scale: NoiseScale): readonly Detection[] {
  const x = logMeanPower(curves)
  const limit = OUTLYING_P / x.length
  return runsByCell(curves)
    .filter((cell) => cell.length >= 2)
    .map((cell) => {
      const ps = cell.map((run) => leaveOneOutP(x, cell, run, scale))
      const observed = Math.min(...ps)
      const isBroken = roundSignificant(observed) < limit
      const named = cell.length === 2 ? cell : cell.filter((_, i) => i === ps.indexOf(observed))
      return { observed, limit, isBroken, runs: isBroken ? named : [] }
    })
}

function leaveOneOutP(x: Float64Array, cell: readonly number[], run: number, scale: NoiseScale): number {
  const others = Float64Array.from(
    cell.filter((other) => other !== run),
    (other) => x[other] ?? Number.NaN,
  )
  const mean = meanOf(others)
  const squares = others.reduce((sum, value) => sum + (value - mean) ** 2, 0)
  const dof = scale.dof + cell.length - 2
  const variance = (scale.dof * logMeanVariance(scale) + squares) / dof
  const deviation = Math.abs((x[run] ?? Number.NaN) - mean) / Math.sqrt(variance * (1 + 1 / others.length))
  return 2 * studentT.sf(deviation, dof)
}
