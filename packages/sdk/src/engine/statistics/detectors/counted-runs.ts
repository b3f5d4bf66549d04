import type { Detection } from './detection.ts'

/**
 * Numbers of the rig's own counter that nobody accounts for.
 *
 * Observed: last − first + 1 − distinct counters. [1] Limit: 0. No run is to blame.
 *
 * @param first counter at the start of the session. [1]
 * @param last counter at its end. [1]
 * @param counters every counter that is accounted for, in any order.
 * @returns the detection. Pure; never throws. Source: measurement-model §8, all-runs-counted. Tested: tests/vectors, detect.
 */
export function countedRuns(first: number, last: number, counters: readonly number[]): Detection {
  const observed = last - first + 1 - new Set(counters).size
  return { observed, limit: 0, isBroken: observed > 0, runs: [] }
}
