/** How many requests an API key may make, counted by each replica for itself. */
import { RateLimiterMemory, RateLimiterRes } from 'rate-limiter-flexible'

/** A request counted against its key. */
export interface CountedRequest {
  /** Whether it is one too many. */
  readonly isTooMany: boolean
  /** Time until the count starts anew. [s] */
  readonly restart_s: number
  /** `RateLimit-Policy` and `RateLimit`, as the IETF's HTTPAPI group drafts them. */
  readonly headers: Readonly<Record<string, string>>
}

/** Counts requests. */
export interface RateLimit {
  /** Counts one request of an API key. */
  count(apiKey: string): Promise<CountedRequest>
}

/** Width of the window that requests are counted in. [s] */
const WINDOW_S = 60

/**
 * Counts requests of each API key in a window of one minute.
 *
 * @param perMinute requests permitted; 0 for no limit.
 * @returns undefined without a limit.
 */
export function createRateLimit(perMinute: number): RateLimit | undefined {
  if (perMinute === 0) return undefined
  const limiter = new RateLimiterMemory({ points: perMinute, duration: WINDOW_S })
  return {
    count: async (apiKey) => {
      const state = await limiter.consume(apiKey).catch((refused: unknown) => {
        if (refused instanceof RateLimiterRes) return refused
        throw refused
      })
      const restart_s = Math.max(1, Math.ceil(state.msBeforeNext / 1000))
      return {
        isTooMany: state.consumedPoints > perMinute,
        restart_s,
        headers: {
          'ratelimit-policy': `"key";q=${perMinute};w=${WINDOW_S}`,
          ratelimit: `"key";r=${state.remainingPoints};t=${restart_s}`,
        },
      }
    },
  }
}
