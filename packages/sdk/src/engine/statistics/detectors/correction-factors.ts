import { roundSignificant } from '../../numerics/round-significant.ts'
import type { Detection } from './detection.ts'

/** Largest relative deviation of a declared factor from the recomputed one. [1] Source: measurement-model §8. */
const FACTOR_LIMIT = 0.002

/**
 * Whether the correction factors in the powers agree with the conditions they were made in.
 *
 * Observed: the largest |declared/recomputed − 1|. [1] Named: every run beyond the limit.
 *
 * @param declared factor by which each power was multiplied. [1]
 * @param recomputed factor of the declared standard for each run's own conditions. [1]
 * @returns the detection. Pure; never throws. Source: measurement-model §8, wrong factor. Tested: tests/vectors, detect.
 */
export function correctionFactors(declared: readonly number[], recomputed: readonly number[]): Detection {
  const deviations = declared.map((factor, i) => Math.abs(factor / (recomputed[i] ?? Number.NaN) - 1))
  const runs = deviations.flatMap((deviation, i) => (roundSignificant(deviation) > FACTOR_LIMIT ? [i] : []))
  return { observed: Math.max(...deviations), limit: FACTOR_LIMIT, isBroken: runs.length > 0, runs }
}
