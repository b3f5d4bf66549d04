import type { Run } from '../../contract/run.ts'

/** What the order of the runs rests on. */
export type OrderBasis = 'sequence' | 'counter' | 'start-time' | 'side-blocks'

/** The runs in the order they were made. */
export interface RunOrder {
  /** Indexes into the document's runs, first run first. */
  readonly indexes: readonly number[]
  /** What the order rests on; `side-blocks` when nothing tells it. */
  readonly basis: OrderBasis
}

/**
 * The order of the runs: by sequence number; where one is missing or two are equal, by the rig's counter; then by start
 * time; and if all fail, all baseline runs before all modified ones.
 *
 * @param runs the runs as they stand in the document.
 * @returns indexes in order, and the basis. Pure; never throws.
 *
 * Source: measurement-model §1, order.
 */
export function orderOf(runs: readonly Run[]): RunOrder {
  return (
    orderedBy(runs, 'sequence', (run) => run.sequence) ??
    orderedBy(runs, 'counter', (run) => run.counter) ??
    orderedBy(runs, 'start-time', (run) => startOf_s(run) ?? undefined) ?? {
      indexes: [...sideIndexes(runs, 'baseline'), ...sideIndexes(runs, 'modified')],
      basis: 'side-blocks',
    }
  )
}

/** Start of a run since 1970-01-01T00:00:00Z; null when not recorded. [s] */
export function startOf_s(run: Run): number | null {
  return run.startedAt === undefined ? null : Date.parse(run.startedAt) / 1000
}

/** The runs ordered by one key; null when a key is missing or two are equal. */
export function orderedBy(
  runs: readonly Run[],
  basis: OrderBasis,
  key: (run: Run) => number | undefined,
): RunOrder | null {
  const keyed = runs.map((run, index) => ({ index, at: key(run) }))
  const complete = keyed.filter((entry): entry is { index: number; at: number } => entry.at !== undefined)
  if (complete.length < runs.length || new Set(complete.map(({ at }) => at)).size < runs.length) return null
  return { indexes: complete.toSorted((a, b) => a.at - b.at).map(({ index }) => index), basis }
}

function sideIndexes(runs: readonly Run[], side: Run['side']): number[] {
  return runs.flatMap((run, index) => (run.side === side ? [index] : []))
}

/** The first run whose key is not above that of the last run ahead of it that has one, after that run; null where keys rise. */
export function firstFall<R>(runs: readonly R[], keyOf: (run: R) => number | null): readonly [R, R] | null {
  const keyed = runs.flatMap((run) => {
    const key = keyOf(run)
    return key === null ? [] : [{ run, key }]
  })
  const at = keyed.findIndex(({ key }, i) => key <= (keyed[i - 1]?.key ?? Number.NEGATIVE_INFINITY))
  const [earlier, later] = [keyed[at - 1], keyed[at]]
  return earlier === undefined || later === undefined ? null : [earlier.run, later.run]
}
