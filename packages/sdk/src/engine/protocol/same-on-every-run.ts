import type { SessionRun } from '../inputs/session.ts'
import { notEvidenced, type Observation, observation } from './check.ts'

/** One member that must be the same on every run used. */
export interface Facet {
  /** Name a reader knows it by, for example `fuel`. */
  readonly name: string
  /** Its value on a run; null when not recorded. */
  readonly read: (run: SessionRun) => string | number | boolean | null
  /** Whether it may be left out altogether, as ballast may where none is carried. */
  readonly isOptional?: boolean
}

/** What to say where the facets differ or are missing. */
export interface FacetWords {
  /** Sentence when all agree. */
  readonly same: string
  /** Remedy when they differ. */
  readonly ifDifferent: string
  /** Remedy when they are missing. */
  readonly ifMissing: string
}

interface Difference {
  readonly facet: Facet
  readonly baseline: string
  readonly modified: string
}

/**
 * Whether facets are the same on every run: a difference is `breached`, a gap is `not-evidenced`, else `met`.
 *
 * A difference that is seen outweighs a gap elsewhere. Pure; never throws.
 */
export function sameOnEveryRun(runs: readonly SessionRun[], facets: readonly Facet[], words: FacetWords): Observation {
  const differences = facets.flatMap((facet) => differenceOf(runs, facet) ?? [])
  if (differences.length > 0) return different(runs, differences, words)

  const gaps = facets.flatMap((facet) => gapOf(runs, facet) ?? [])
  if (gaps.length === 0) return observation('met', { sentence: words.same })
  return notEvidenced({
    sentence: `Not recorded: ${gaps.map(({ facet }) => facet.name).join(', ')}.`,
    remedy: words.ifMissing,
    runs: [...new Set(gaps.flatMap((gap) => gap.runs))],
    evidence: 'from-records',
  })
}

function different(runs: readonly SessionRun[], differences: readonly Difference[], words: FacetWords): Observation {
  const sayOf = ({ facet, baseline, modified }: Difference) =>
    baseline === modified
      ? `${facet.name} varies within a side (${baseline})`
      : `${facet.name} ${baseline} against ${modified}`
  return observation('breached', {
    observed: differences.map(({ baseline, modified }) => `${baseline} / ${modified}`).join('; '),
    limit: 'equal',
    runs: runs.map(({ id }) => id),
    sentence: `Baseline against modified: ${differences.map(sayOf).join('; ')}.`,
    remedy: words.ifDifferent,
  })
}

function differenceOf(runs: readonly SessionRun[], facet: Facet): Difference | null {
  const distinct = (side: SessionRun['side'] | null) =>
    [...new Set(runs.flatMap((run) => (side === null || run.side === side ? (facet.read(run) ?? []) : [])))]
      .map(String)
      .toSorted()
  if (distinct(null).length < 2) return null
  const said = (values: readonly string[]) => (values.length === 0 ? 'not recorded' : values.join(' and '))
  return { facet, baseline: said(distinct('baseline')), modified: said(distinct('modified')) }
}

function gapOf(runs: readonly SessionRun[], facet: Facet): { facet: Facet; runs: string[] } | null {
  const missing = runs.filter((run) => facet.read(run) === null)
  const isAllowed = missing.length === 0 || (facet.isOptional === true && missing.length === runs.length)
  return isAllowed ? null : { facet, runs: missing.map(({ id }) => id) }
}
