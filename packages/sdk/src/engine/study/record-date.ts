import type { RecordStatus } from '../../contract/facility.ts'
import { isHearsay } from '../inputs/hearsay.ts'
import { scopeGaps, yearAfter } from '../inputs/record-scope.ts'
import type { StudyEvidence } from './study-evidence.ts'

/** Why the values of a study are declared ones, whatever its runs show. */
export type WhyDeclared = 'too long' | 'hearsay' | 'left out by choice' | 'other scope'

/** When a study was made, and what its values may call themselves. */
export interface RecordDate {
  /** Day of the last run used; null where no run has one. */
  readonly on: string | null
  /** `measured`, or `declared` for the reason beside it. */
  readonly status: Extract<RecordStatus, 'measured' | 'declared'>
  /** Why they are declared; null where they are measured. */
  readonly because: WhyDeclared | null
}

/**
 * The date and the status of a record.
 *
 * The date is that of the last run: the engine has no clock, and a study that is added to is as young as what was added.
 * Declared where the first run is more than 12 months older than the last, where a run was only reported or read from a
 * chart, where a measured run was left out by somebody's choice, and where its own vehicle or mountings state another
 * machine, class or strapping than the record is to apply to.
 *
 * @param evidence of the study. Pure; never throws.
 */
export function recordDateOf(seen: StudyEvidence): RecordDate {
  const days = seen.evidence.session.used.flatMap(({ day }) => day ?? []).toSorted()
  const because = whyDeclared(seen, days)
  return { on: days.at(-1) ?? null, status: because === null ? 'measured' : 'declared', because }
}

function whyDeclared({ study, evidence, leftOutByChoice }: StudyEvidence, days: readonly string[]): WhyDeclared | null {
  const [first, last] = [days[0], days.at(-1)]
  if (first !== undefined && last !== undefined && yearAfter(first) < last) return 'too long'
  if (evidence.session.used.some(isHearsay)) return 'hearsay'
  if (leftOutByChoice.length > 0) return 'left out by choice'
  const gaps = scopeGaps(study.appliesTo, evidence.session)
  return gaps.some(({ kind }) => kind === 'other scope') ? 'other scope' : null
}
