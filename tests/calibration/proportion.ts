/** Shares of simulated sessions, with what their number lets them say. */

/** A count out of a number. */
export interface Proportion {
  readonly hits: number
  readonly of: number
}

/** Ends of an interval. */
export interface Ends {
  readonly low: number
  readonly high: number
}

/**
 * Wilson's score interval of a proportion.
 *
 * Source: E. B. Wilson, J. Amer. Statist. Assoc. 22 (1927) 209.
 *
 * @param z normal quantile; 1.96 for 95 %, 3.29 for 99.9 %.
 */
export function wilson({ hits, of }: Proportion, z: number): Ends {
  if (of === 0) return { low: 0, high: 1 }
  const share = hits / of
  const centre = share + (z * z) / (2 * of)
  const reach = z * Math.sqrt((share * (1 - share)) / of + (z * z) / (4 * of * of))
  const scale = 1 + (z * z) / of
  return { low: Math.max(0, (centre - reach) / scale), high: Math.min(1, (centre + reach) / scale) }
}

/** Normal quantile of the interval that a test grants: 99.9 %, so that one false alarm in a thousand tests remains. */
export const TEST_Z = 3.29

/** Whether an observed share is compatible with a target range, given its own interval. */
export function isCompatible(observed: Proportion, target: Ends): boolean {
  const { low, high } = wilson(observed, TEST_Z)
  return low <= target.high && high >= target.low
}

/** A share in per cent with its 95 % interval, `95.1 (94.2–95.9)`; a dash where nothing was counted. */
export function printedShare({ hits, of }: Proportion): string {
  if (of === 0) return '–'
  const { low, high } = wilson({ hits, of }, 1.96)
  const percent = (value: number) => (100 * value).toFixed(value < 0.1 ? 2 : 1)
  return `${percent(hits / of)} (${percent(low)}–${percent(high)})`
}

/** A share in per cent without its interval. */
export function bareShare({ hits, of }: Proportion): string {
  return of === 0 ? '–' : ((100 * hits) / of).toFixed(hits / of < 0.1 ? 2 : 1)
}
