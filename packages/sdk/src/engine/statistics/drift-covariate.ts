import { median } from '../numerics/median.ts'
/** When and where one run was made, as far as the drift covariate asks. */
export interface RunInTime {
  /** Start. [s]; null when missing */
  readonly start_s: number | null
  /** Mounting. */
  readonly mounting: string
  /** Day; null when all runs share one unnamed day. */
  readonly day: string | number | null
}

/** Longest step of t between two neighbouring runs, in median gaps. [1] */
const LONGEST_STEP = 4

/**
 * Drift covariate of every run, over the whole session and both sides.
 *
 * t_1 = 0; within a mounting and day t rises by min(gap / median gap, 4); at a change of either by 1. Where a start time is
 * missing or not rising, or there is no such pair: 0, 1, 2, …
 *
 * @param runs in the order they were made.
 * @returns t, one per run, from 0. [1] Pure; never throws.
 *
 * Source: measurement-model §1. Tested: tests/vectors, time_covariate.
 */
export function driftCovariate(runs: readonly RunInTime[]): Float64Array {
  const plain = Float64Array.from(runs, (_, index) => index)
  const gaps = runs.slice(1).map((run, index) => gapBetween(runs[index], run))
  const within = gaps.filter((gap): gap is number => gap !== null && gap > 0)
  const isTimed = runs.every(
    ({ start_s }, index) => start_s !== null && (index === 0 || start_s > (runs[index - 1]?.start_s ?? start_s)),
  )
  if (!isTimed || within.length === 0) return plain

  const typicalGap = median(within)
  const t = new Float64Array(runs.length)
  gaps.forEach((gap, index) => {
    t[index + 1] = (t[index] ?? 0) + (gap === null ? 1 : Math.min(gap / typicalGap, LONGEST_STEP))
  })
  return t
}

/** Time between two neighbouring runs of one mounting and day; null at a change of either. [s] */
function gapBetween(earlier: RunInTime | undefined, later: RunInTime): number | null {
  if (earlier === undefined || earlier.mounting !== later.mounting || earlier.day !== later.day) return null
  return (later.start_s ?? Number.NaN) - (earlier.start_s ?? Number.NaN)
}
