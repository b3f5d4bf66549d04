import { logBeta } from './gamma.ts'

/** Both tails of the beta distribution; each is computed, never taken as 1 minus the other when it is the small one. */
export interface Tails {
  /** P(X ≤ x). [1], 0 to 1 */
  readonly lower: number
  /** P(X > x). [1], 0 to 1 */
  readonly upper: number
}

const TINY = 1e-300
const RELATIVE_STEP = 1e-16
const MOST_TERMS = 20_000

/**
 * Regularised incomplete beta function, both tails.
 *
 * I_x(a, b) = x^a (1 − x)^b / (a B(a, b)) · 1/(1 + d1/(1 + d2/(1 + …))), evaluated on the side where it converges fast.
 *
 * @param x argument. [1], 0 to 1
 * @param y its complement 1 − x, given apart so that neither loses digits. [1], 0 to 1
 * @param a first shape. [1], above 0
 * @param b second shape. [1], above 0
 * @returns both tails. Pure; never throws.
 *
 * Source: continued fraction of Abramowitz and Stegun 26.5.8, by the modified Lentz recurrence. Tested: tests/golden/distributions.
 */
export function incompleteBeta(x: number, y: number, a: number, b: number): Tails {
  if (!(x > 0)) return { lower: x === 0 ? 0 : Number.NaN, upper: x === 0 ? 1 : Number.NaN }
  if (!(y > 0)) return { lower: 1, upper: 0 }

  const logX = x < 0.5 ? Math.log(x) : Math.log1p(-y)
  const logY = y < 0.5 ? Math.log(y) : Math.log1p(-x)
  const front = Math.exp(a * logX + b * logY - logBeta(a, b))
  if (x < (a + 1) / (a + b + 2)) {
    const lower = (front * continuedFraction(x, a, b)) / a
    return { lower, upper: 1 - lower }
  }
  const upper = (front * continuedFraction(y, b, a)) / b
  return { lower: 1 - upper, upper }
}

function continuedFraction(x: number, a: number, b: number): number {
  let c = 1
  let d = 1 / nonzero(1 - ((a + b) * x) / (a + 1))
  let value = d
  for (let m = 1; m <= MOST_TERMS; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m))
    d = 1 / nonzero(1 + even * d)
    c = nonzero(1 + even / c)
    value *= d * c
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1))
    d = 1 / nonzero(1 + odd * d)
    c = nonzero(1 + odd / c)
    const step = d * c
    value *= step
    if (Math.abs(step - 1) <= RELATIVE_STEP) break
  }
  return value
}

function nonzero(value: number): number {
  return Math.abs(value) < TINY ? TINY : value
}
