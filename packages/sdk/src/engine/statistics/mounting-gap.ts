/** When a run was made, and in which mounting. */
export interface MountedRun {
  /** Start. [s]; null when missing */
  readonly start_s: number | null
  /** Mounting. */
  readonly mounting: string
}

/** A record speaks of gaps up to this many times its own. [1] Source: measurement-model §1. */
const GAP_RATIO = 1.5

/**
 * Longest time from the last run of one mounting to the first of the next.
 *
 * @param runs in the order they were made.
 * @returns the gap. [s]; null where the mounting never changes, or a start time beside a change is missing. Pure; never throws.
 */
export function longestMountingGap_s(runs: readonly MountedRun[]): number | null {
  const changes = runs.slice(1).flatMap((run, i) => {
    const earlier = runs[i]
    return earlier === undefined || earlier.mounting === run.mounting
      ? []
      : [{ from: earlier.start_s, to: run.start_s }]
  })
  const gaps = changes.flatMap(({ from, to }) => (from === null || to === null ? [] : [to - from]))
  return changes.length === 0 || gaps.length < changes.length ? null : Math.max(...gaps)
}

/**
 * Whether the session strapped down further apart than the facility record was made with: flag `mount_gap_longer_than_record`.
 *
 * @param gap_s longest gap between mountings. [s]; null when unknown
 * @param spacing_s gap between mountings when the record was made. [s]; null when not recorded
 * @returns true when gap > 1.5 spacing; false where either is unknown. Pure; never throws. Source: measurement-model §1.
 */
export function isMountingGapLonger(gap_s: number | null, spacing_s: number | null): boolean {
  return gap_s !== null && spacing_s !== null && gap_s > GAP_RATIO * spacing_s
}
