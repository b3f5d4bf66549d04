import type { SessionRun } from '../inputs/session.ts'
import type { Detection } from '../statistics/detectors/detection.ts'
import { outlyingRuns } from '../statistics/detectors/outlying-runs.ts'
import type { Evidence } from './evidence.ts'

/** The most outlying run of a mounting's side, held against the others of it. */
export interface OutlyingCell extends Omit<Detection, 'runs'> {
  /** Runs named; of two that disagree, both. Empty while the limit holds. */
  readonly runs: readonly SessionRun[]
}

/**
 * What stands out among the runs of each side in each mounting.
 *
 * @param evidence the evidence.
 * @returns one entry per side and mounting with two or more runs; empty where there is none. Pure; never throws.
 *
 * Source: measurement-model §8, outlier-free.
 */
export function outlyingCells({ compared, session }: Evidence): readonly OutlyingCell[] {
  if (compared === null) return []
  return outlyingRuns(compared.curves, compared.scale).map(({ runs, ...cell }) => ({
    ...cell,
    runs: runs.flatMap((i) => session.used[i] ?? []),
  }))
}
