import type { Side } from '../../contract/run.ts'
import { ofSide, type SessionRun } from '../inputs/session.ts'

/** Plain mean. */
export function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length
}

/** A quantity averaged over the runs of each side. */
export interface SideMeans {
  /** Mean of the baseline; null when no run of it recorded the quantity. */
  readonly baseline: number | null
  /** Mean of the modified side; null when no run of it recorded the quantity. */
  readonly modified: number | null
  /** Modified minus baseline; null when a side has none. */
  readonly difference: number | null
  /** Runs that did not record it. */
  readonly missing: readonly string[]
}

/** The means of a quantity over the runs that recorded it, side by side. */
export function sideMeansOf(runs: readonly SessionRun[], read: (run: SessionRun) => number | null): SideMeans {
  const readings = runs.map((run) => ({ id: run.id, side: run.side, reading: read(run) }))
  const mean = (side: Side) => {
    const known = ofSide(readings, side).flatMap(({ reading }) => reading ?? [])
    return known.length === 0 ? null : meanOf(known)
  }
  const baseline = mean('baseline')
  const modified = mean('modified')
  return {
    baseline,
    modified,
    difference: baseline === null || modified === null ? null : modified - baseline,
    missing: readings.filter(({ reading }) => reading === null).map(({ id }) => id),
  }
}
