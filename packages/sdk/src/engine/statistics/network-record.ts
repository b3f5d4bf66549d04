import { EngineError } from '../engine-error.ts'
import { facilityPrior, type PastSession } from './facility-prior.ts'
import { ASSUMED_DOF } from './facility-record.ts'

/** A relative standard deviation pooled over other facilities. */
export interface NetworkFigure {
  /** Relative sd. [1] */
  readonly relSd: number
  /** Degrees of freedom to use it with: at most 3, and always under Howe's rule. [1] */
  readonly dof: number
}

/** Fewest other facilities. */
export const FEWEST_FACILITIES = 6

/**
 * One figure of a facility record, pooled over other facilities.
 *
 * s0², d0 from their variances as from past sessions; dof = min(d0, 3).
 *
 * @param facilities relative variance and degrees of freedom of each other facility; at least six.
 * @returns sd and degrees of freedom, for a conditional analysis with status `network`.
 * @throws EngineError `ERR_EMPTY` with fewer than six facilities; `ERR_OUT_OF_RANGE` as in facilityPrior.
 *
 * Source: measurement-model §9.4. Tested: tests/engine/statistics.
 */
export function networkFigure(facilities: readonly PastSession[]): NetworkFigure {
  if (facilities.length < FEWEST_FACILITIES) {
    throw new EngineError('ERR_EMPTY', `${facilities.length} other facilities are too few to pool`, 'facilities')
  }
  const { relativeVariance, spreadDof } = facilityPrior(facilities)
  return { relSd: Math.sqrt(relativeVariance), dof: Math.min(spreadDof, ASSUMED_DOF) }
}
