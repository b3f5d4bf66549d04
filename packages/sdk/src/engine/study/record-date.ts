import type { RecordStatus } from '../../contract/facility.ts'
import { yearAfter } from '../inputs/facility-record.ts'
import { isHearsay } from '../result/other-causes.ts'
import type { StudyEvidence } from './study-evidence.ts'

/** When a study was made, and what its values may call themselves. */
export interface RecordDate {
  /** Day of the last run used; null where no run has one. */
  readonly on: string | null
  /** `measured`; `declared` where runs were not recorded here, or the first is more than 12 months older than the last. */
  readonly status: Extract<RecordStatus, 'measured' | 'declared'>
  /** Whether the runs span more than 12 months. */
  readonly isLong: boolean
}

/**
 * The date of a record. It is that of the last run: the engine has no clock, and a study that is added to is as young as
 * what was added.
 *
 * @param evidence of the study. Pure; never throws.
 */
export function recordDateOf({ evidence }: StudyEvidence): RecordDate {
  const { used } = evidence.session
  const days = used.flatMap(({ day }) => day ?? []).toSorted()
  const [first, last] = [days[0], days.at(-1)]
  const isLong = first !== undefined && last !== undefined && yearAfter(first) < last
  const status = isLong || used.some(isHearsay) ? 'declared' : 'measured'
  return { on: last ?? null, status, isLong }
}
