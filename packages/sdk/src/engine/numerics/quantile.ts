import type { Tails } from './incomplete-beta.ts'

/** A distribution on an interval as the quantile search sees it. */
export interface SearchedDistribution {
  /** Both tails at x. */
  readonly tails: (x: number) => Tails
  /** Density at x. */
  readonly density: (x: number) => number
  /** Interval that holds the quantile. */
  readonly low: number
  readonly high: number
  /** First guess inside the interval. */
  readonly guess: number
}

/** Most steps of the search: Newton converges in a handful, and what it cannot do bisection does. */
const MOST_STEPS = 200

/** A Newton step this small leaves an error of its square, below the last digit of a double. [1] */
const CONVERGED = 1e-9

/**
 * The quantile of a distribution, by Newton's method kept inside a shrinking bracket.
 *
 * The search runs on the smaller tail, so that far quantiles keep their digits.
 *
 * @param p probability below. [1], in 0 to 1
 * @param q probability above, 1 − p. [1]
 * @param searched tails, density, bracket and first guess.
 * @returns x with P(X ≤ x) = p.
 */
export function searchQuantile(
  p: number,
  q: number,
  { tails, density, low, high, guess }: SearchedDistribution,
): number {
  const isLower = p <= q
  let [a, b, x] = [low, high, guess > low && guess < high ? guess : middle(low, high)]
  for (let step = 0; step < MOST_STEPS; step++) {
    const { lower, upper } = tails(x)
    const miss = isLower ? lower - p : q - upper
    if (miss === 0) return x
    if (miss > 0) b = x
    else a = x
    const newton = x - miss / density(x)
    if (Math.abs(newton - x) <= CONVERGED * Math.abs(x)) return newton
    const next = newton > a && newton < b ? newton : middle(a, b)
    if (next === x) return next
    x = next
  }
  return x
}

/** Geometric middle where both ends are far apart and positive, else arithmetic. */
function middle(a: number, b: number): number {
  if (a > 0 && b > 4 * a) return Math.sqrt(a) * Math.sqrt(b)
  if (a === 0 && b > 1e-300) return b > 1 ? 1 : b / 16
  return a + (b - a) / 2
}
