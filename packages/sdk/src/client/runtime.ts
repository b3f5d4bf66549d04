/** What the client takes from its surroundings, so that a test can hold the clock still. */

/** A clock and its timers. */
export interface Clock {
  /** Time since 1970. [ms] */
  readonly now: () => number
  /** Calls `ring` once after a wait; the answer cancels it. [ms] */
  readonly after: (wait: number, ring: () => void) => () => void
}

/** Clock, randomness and identities. */
export interface Runtime {
  /** Clock of timeouts and waits. */
  readonly clock: Clock
  /** Uniform random number for the jitter of waits. [1], 0 to below 1 */
  readonly random: () => number
  /** A fresh idempotency key. */
  readonly newKey: () => string
}

/** Longest wait a timer can hold; a longer one would ring at once. [ms] */
const LONGEST_TIMER_ms = 2_147_483_647

function systemTimer(wait: number, ring: () => void): () => void {
  if (wait > LONGEST_TIMER_ms) return () => undefined
  const timer = setTimeout(ring, wait)
  return () => clearTimeout(timer)
}

/** The runtime of the platform: system clock, `Math.random`, `crypto.randomUUID`. */
export const systemRuntime: Runtime = {
  clock: { now: () => Date.now(), after: systemTimer },
  random: () => Math.random(),
  newKey: () => crypto.randomUUID(),
}
