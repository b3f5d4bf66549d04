import type { SessionRun } from '../inputs/session.ts'
import { median } from '../numerics/median.ts'

/**
 * Time between mountings, as a record states it: the median from the start of the last run of one mounting to that of the
 * first of the next.
 *
 * @param used runs in the order they were made.
 * @param isWithinDays whether only mountings of one day were held against each other: gaps over night then do not count.
 * @returns the spacing. [min]; null where no such gap is recorded. Pure; never throws.
 */
export function mountingSpacing_min(used: readonly SessionRun[], isWithinDays: boolean): number | null {
  const gaps = used.slice(1).flatMap((run, i) => {
    const earlier = used[i]
    if (earlier === undefined || earlier.mounting === run.mounting) return []
    if (earlier.start_s === null || run.start_s === null || run.start_s <= earlier.start_s) return []
    return isWithinDays && earlier.day !== run.day ? [] : [(run.start_s - earlier.start_s) / 60]
  })
  return gaps.length === 0 ? null : median(gaps)
}
