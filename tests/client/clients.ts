/** A client on a loopback server, with a clock that stands still, no jitter and counted keys. */
import { Fairpull, type FairpullOptions } from '../../packages/sdk/src/client/index.ts'
import { manualClock } from './loopback.ts'

/** Waits below this are skipped by `clientOn`, so that a retry comes at once; time limits stay. [ms] */
export const SKIPPED_BELOW_ms = 20_000

/** A client with default limits whose waits between attempts pass at once. */
export function clientOn(baseUrl: string, options: Partial<FairpullOptions> = {}): Fairpull {
  const clock = manualClock((wait) => wait < SKIPPED_BELOW_ms)
  return new Fairpull({ baseUrl, ...options, runtime: { clock, random: () => 0.5, ...options.runtime } })
}

/** The error a promise rejects with; fails the test when it does not. */
export async function failureOf(work: PromiseLike<unknown>): Promise<Error & Record<string, unknown>> {
  try {
    await work
  } catch (error) {
    if (error instanceof Error) return Object.assign(error)
    throw new TypeError(`rejected with ${String(error)}, which is no error`)
  }
  throw new TypeError('it did not fail')
}
