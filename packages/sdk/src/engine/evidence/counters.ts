import type { Session } from '../inputs/session.ts'

/** What the rig's own counter says. */
export interface CounterAccount {
  /** Numbers from the first run to the last that nobody accounts for. */
  readonly missing: readonly number[]
  /** Numbers declared as no runs of this comparison. */
  readonly unlisted: number
}

/** More missing numbers than this are not listed one by one; the count then stops here. */
const MOST_LISTED = 1000

/**
 * The rig's counter from the first to the last run: numbers that are neither runs nor declared otherwise.
 *
 * @param session the session.
 * @returns the account; nothing is missing where no run has a number. Pure; never throws.
 */
export function accountedCounters(session: Session): CounterAccount {
  const numbers = session.runs.flatMap(({ wire }) => wire.counter ?? [])
  const unlisted = (session.comparison.unlisted ?? []).flatMap(({ counters }) => counters)
  const known = new Set([...numbers, ...unlisted])
  const missing: number[] = []
  const last = Math.max(...numbers)
  for (let number = Math.min(...numbers); number <= last && missing.length < MOST_LISTED; number++) {
    if (!known.has(number)) missing.push(number)
  }
  return { missing, unlisted: new Set(unlisted).size }
}
