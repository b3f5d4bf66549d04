/** When to try again, and after which wait. */
import type { Runtime } from './runtime.ts'

/** First step of the doubling wait. [ms] */
const FIRST_STEP_ms = 250

/** Longest step of the doubling wait. [ms] */
const LONGEST_STEP_ms = 8_000

/** Statuses after which the same request may succeed. */
const passingStatuses: ReadonlySet<number> = new Set([408, 425, 429, 500, 502, 503, 504])

/** True when a further attempt may succeed; a conflict only when the answer says when to come back. */
export function isPassing(status: number, retryAfter: number | null): boolean {
  return passingStatuses.has(status) || (status === 409 && retryAfter !== null)
}

/**
 * Wait before the next attempt: full jitter over a doubling step, after the wait the service asks for, if any.
 *
 * wait = retryAfter + random · min(8 s, 250 ms · 2^(attempt − 1))
 *
 * @param attempt number of the attempt that failed. [1], from 1
 * @param retryAfter wait the service asks for; null if none. [ms]
 * @returns wait. [ms], at least 0
 */
export function waitBefore(attempt: number, retryAfter: number | null, random: Runtime['random']): number {
  const step = Math.min(LONGEST_STEP_ms, FIRST_STEP_ms * 2 ** (attempt - 1))
  return (retryAfter ?? 0) + random() * step
}

/**
 * The wait that a `Retry-After` header asks for.
 *
 * A date is read against the answer's own `Date`, so that a wrong clock here does not matter.
 *
 * @returns wait; null without a readable header. [ms], at least 0
 * Source: RFC 9110 §10.2.3.
 */
export function retryAfterOf(headers: Headers, now: number): number | null {
  const text = headers.get('retry-after')?.trim()
  if (text === undefined || text === '') return null
  if (/^\d+$/.test(text)) return Number(text) * 1_000
  const until = Date.parse(text)
  if (Number.isNaN(until)) return null
  const sent = Date.parse(headers.get('date') ?? '')
  return Math.max(0, until - (Number.isNaN(sent) ? now : sent))
}
