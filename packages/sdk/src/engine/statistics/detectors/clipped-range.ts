import { roundSignificant } from '../../numerics/round-significant.ts'
import type { Detection } from './detection.ts'

/** First and last engine speed of one run. [rpm] */
export interface RunEnds {
  readonly first_rpm: number
  readonly last_rpm: number
}

/** Largest loss of range against the widest run. [rpm] Source: measurement-model §8. */
const CLIP_LIMIT_RPM = 500

/**
 * Runs that begin or end well inside the widest range.
 *
 * Observed: the larger of both losses. [rpm] Named: the run itself.
 *
 * @param ends of all runs.
 * @returns one detection per run beyond the limit, in run order. Pure; never throws.
 *
 * Source: measurement-model §8, clipped range. Tested: tests/vectors, detect.
 */
export function clippedRange(ends: readonly RunEnds[]): readonly Detection[] {
  const start = Math.min(...ends.map(({ first_rpm }) => first_rpm))
  const end = Math.max(...ends.map(({ last_rpm }) => last_rpm))
  return ends.flatMap(({ first_rpm, last_rpm }, run) => {
    const observed = Math.max(first_rpm - start, end - last_rpm)
    return roundSignificant(observed) > CLIP_LIMIT_RPM
      ? [{ observed, limit: CLIP_LIMIT_RPM, isBroken: true, runs: [run] }]
      : []
  })
}
