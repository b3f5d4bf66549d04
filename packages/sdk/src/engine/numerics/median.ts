/**
 * Median; of an even count the mean of the middle two.
 *
 * @param values in any order; not changed.
 * @returns the median; NaN of an empty list. Pure; never throws.
 */
export function median(values: ArrayLike<number>): number {
  const sorted = new Float64Array(values).sort()
  const upper = sorted[Math.floor(sorted.length / 2)] ?? Number.NaN
  const lower = sorted[Math.ceil(sorted.length / 2) - 1] ?? Number.NaN
  return (lower + upper) / 2
}
