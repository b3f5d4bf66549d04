import type { Slot } from './design.ts'

/** Start of the first day's session, within the year for which a simulated record holds. */
const FIRST_DAY_MS = Date.UTC(2026, 2, 2, 8, 0, 0)

/** Written offset of all times. */
const OFFSET = { text: '+01:00', ms: 3_600_000 } as const

/** The time of a run or mounting, RFC 3339. @param later_s seconds after the start of the slot; may be negative. */
export function timeOf(slot: Pick<Slot, 'start_s'>, later_s = 0): string {
  const local = new Date(FIRST_DAY_MS + OFFSET.ms + (slot.start_s + later_s) * 1000)
  return `${local.toISOString().slice(0, 19)}${OFFSET.text}`
}

/** Calendar date of a day of the session, counted from 0. */
export function dateOfDay(day: number): string {
  return timeOf({ start_s: day * 86_400 }).slice(0, 10)
}
