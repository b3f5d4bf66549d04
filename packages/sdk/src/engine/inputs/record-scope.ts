import type { FacilityRecord, RecordScope } from '../../contract/facility.ts'
import { type Session, vehicleOf } from './session.ts'

/** The parts of a record's scope, in the order in which they are told. */
const SCOPE_PARTS = ['machine', 'strapping', 'class'] as const

/** What keeps the measured values of a facility record from counting as measured in a session. */
export type RecordGap =
  /** The record has no date, or no scope. */
  | { readonly kind: 'record is silent'; readonly of: 'date' | 'scope' }
  /** Nothing in the session tells on which day it began. */
  | { readonly kind: 'session is undated' }
  /** The first run is more than 12 months younger than the record. */
  | { readonly kind: 'too old'; readonly on: string; readonly firstDay: string }
  /** A used run does not state its part of the scope. */
  | { readonly kind: 'session is silent'; readonly part: keyof RecordScope; readonly recorded: string }
  /** The used runs state another part of the scope than the record. */
  | {
      readonly kind: 'other scope'
      readonly part: keyof RecordScope
      readonly recorded: string
      readonly here: readonly string[]
    }

/**
 * Everything that keeps the measured values of a record from counting as measured in a session.
 *
 * Nothing is taken to be alike: a part of the scope that a used run does not state counts as another one.
 *
 * @param record the record.
 * @param session the session it stands in.
 * @returns gaps, the date first; empty where the record applies. Pure; never throws. Source: measurement-model §1.
 */
export function recordGaps(record: FacilityRecord, session: Session): readonly RecordGap[] {
  const { appliesTo } = record
  const scope: readonly RecordGap[] =
    appliesTo === undefined ? [{ kind: 'record is silent', of: 'scope' }] : scopeGaps(appliesTo, session)
  return [...dateGaps(record, session), ...scope]
}

/** The same day of the next year: the last on which a record of this day counts as measured. `YYYY-MM-DD` */
export function yearAfter(day: string): string {
  return `${String(Number(day.slice(0, 4)) + 1).padStart(4, '0')}${day.slice(4)}`
}

function dateGaps({ on }: FacilityRecord, { runs }: Session): readonly RecordGap[] {
  if (on === undefined) return [{ kind: 'record is silent', of: 'date' }]
  const firstDay = runs.flatMap(({ day }) => day ?? []).toSorted()[0]
  if (firstDay === undefined) return [{ kind: 'session is undated' }]
  return firstDay > yearAfter(on) ? [{ kind: 'too old', on, firstDay }] : []
}

/**
 * The parts in which the used runs of a session are outside a scope, or do not say whether they are.
 *
 * @param scope what a record applies to.
 * @param session the session. Pure; never throws.
 */
export function scopeGaps(scope: RecordScope, session: Session): readonly RecordGap[] {
  return SCOPE_PARTS.flatMap((part): readonly RecordGap[] => {
    const recorded = scope[part]
    const stated = session.used.map((run) => STATED[part](session, run))
    const others = stated.filter((text) => text !== undefined && !isSameText(text, recorded))
    const here = [...new Set(others.flatMap((text) => text ?? []))]
    if (here.length > 0) return [{ kind: 'other scope', part, recorded, here }]
    return stated.includes(undefined) ? [{ kind: 'session is silent', part, recorded }] : []
  })
}

type Stated = (session: Session, run: Session['used'][number]) => string | undefined

const STATED: Readonly<Record<keyof RecordScope, Stated>> = {
  machine: (session, run) => vehicleOf(session, run)?.label,
  strapping: ({ comparison }, run) => comparison.mountings?.find(({ id }) => id === run.wire.mounting)?.strapping,
  class: (session, run) => vehicleOf(session, run)?.class,
}

/** Case and spaces are how a text is written, not what it says. */
function isSameText(a: string, b: string): boolean {
  const bare = (text: string) => text.trim().replaceAll(/\s+/gu, ' ').toLowerCase()
  return bare(a) === bare(b)
}
