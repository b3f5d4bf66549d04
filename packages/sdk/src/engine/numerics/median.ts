/**
 * Median; of an even count the mean of the middle two.
 *
 * The middle is selected, not sorted out: linear time on average, and no worse than a sort whatever the order.
 *
 * @param values in any order; not changed. NaN counts as larger than every number.
 * @returns the median; NaN of an empty list. Pure; never throws.
 */
export function median(values: ArrayLike<number>): number {
  const copy = new Float64Array(values)
  const numbers = copy.subarray(0, gatherNumbers(copy))
  const upper = Math.floor(copy.length / 2)
  const lower = Math.ceil(copy.length / 2) - 1
  if (lower < 0 || upper >= numbers.length) return Number.NaN
  const middle = selected(numbers, upper)
  return lower === upper ? middle : (largest(numbers.subarray(0, upper)) + middle) / 2
}

/** Moves what is NaN to the end. @returns how many numbers there are. */
function gatherNumbers(values: Float64Array): number {
  let count = 0
  for (let at = 0; at < values.length; at += 1) {
    const value = values[at] as number
    if (Number.isNaN(value)) continue
    values[at] = values[count] as number
    values[count] = value
    count += 1
  }
  return count
}

/**
 * The value that a sort would bring to place `k`; afterwards nothing before `k` is larger.
 *
 * Hoare's selection around the median of three; an order that keeps it from narrowing is sorted instead.
 */
function selected(values: Float64Array, k: number): number {
  let [first, last] = [0, values.length - 1]
  for (let rounds = 4 * Math.ceil(Math.log2(values.length + 1)); first < last; rounds -= 1) {
    if (rounds === 0) {
      values.subarray(first, last + 1).sort()
      break
    }
    const pivot = middleOfThree(values[first] as number, values[(first + last) >> 1] as number, values[last] as number)
    let [low, high] = [first, last]
    while (low <= high) {
      while ((values[low] as number) < pivot) low += 1
      while ((values[high] as number) > pivot) high -= 1
      if (low > high) break
      const held = values[low] as number
      values[low] = values[high] as number
      values[high] = held
      low += 1
      high -= 1
    }
    if (k <= high) last = high
    else if (k >= low) first = low
    else break
  }
  return values[k] as number
}

function middleOfThree(a: number, b: number, c: number): number {
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c))
}

function largest(values: Float64Array): number {
  let most = Number.NEGATIVE_INFINITY
  for (const value of values) if (value > most) most = value
  return most
}
