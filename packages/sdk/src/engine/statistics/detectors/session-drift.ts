import { roundSignificant } from '../../numerics/round-significant.ts'
import { centredWithinCells, dot, layoutOf } from '../cells.ts'
import { checkDrift } from '../drift-check.ts'
import type { ComparedCurves, Detection } from './detection.ts'
import type { NoiseScale } from './noise-scale.ts'
import { logMeanPower, logMeanVariance } from './outlying-runs.ts'

/** p below which a trend counts. [1] Source: measurement-model §8. */
const DRIFT_P = 0.01

/** Within-cell deviations up to this are rounding. [1] */
const ROUNDING = 1e-9

/**
 * A trend of the mean power within the cells.
 *
 * The drift check of measurement-model §3.1 on ln of each run's mean power, with the detectors' noise sizes as prior.
 * Observed: p. [1] Limit: 0.01. No run is to blame.
 *
 * @param curves of all runs.
 * @param t drift covariate of each run. [1]
 * @param scale noise sizes.
 * @returns the detection; null where the runs allow no test. Pure; never throws.
 *
 * Source: measurement-model §8, drift-free. Tested: tests/vectors, detect.
 */
export function sessionDrift(curves: ComparedCurves, t: Float64Array, scale: NoiseScale): Detection | null {
  const layout = layoutOf(curves.sides, curves.mountings)
  const centred = centredWithinCells(logMeanPower(curves), layout)
  const rounding = centred.length * ROUNDING ** 2
  const squares = dot(centred, centred)
  const { p } = checkDrift({
    centred,
    centredT: centredWithinCells(t, layout),
    sumOfSquares: squares <= rounding ? 0 : squares,
    dofWithin: centred.length - layout.cells,
    priorSd: Math.sqrt(logMeanVariance(scale)),
    priorDof: scale.dof,
    rounding,
  })
  if (p === null) return null
  return { observed: p, limit: DRIFT_P, isBroken: roundSignificant(p) < DRIFT_P, runs: [] }
}
