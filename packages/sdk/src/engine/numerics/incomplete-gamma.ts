import { logGamma, stirlingCorrection } from './gamma.ts'
import type { Tails } from './incomplete-beta.ts'

const TINY = 1e-300
const RELATIVE_STEP = 1e-17
const MOST_TERMS = 100_000

/**
 * Regularised incomplete gamma function, both tails.
 *
 * P(a, x) by the power series below a + 1, Q(a, x) by the continued fraction above.
 *
 * @param a shape. [1], above 0
 * @param x argument. [1], at or above 0
 * @returns lower P(a, x) and upper Q(a, x). Pure; never throws.
 *
 * Source: Abramowitz and Stegun 6.5.29 and 6.5.31. Tested: tests/golden/distributions.
 */
export function incompleteGamma(a: number, x: number): Tails {
  if (!(x > 0)) return { lower: x === 0 ? 0 : Number.NaN, upper: x === 0 ? 1 : Number.NaN }
  if (x === Number.POSITIVE_INFINITY) return { lower: 1, upper: 0 }

  const front = Math.exp(logFront(a, x))
  if (x < a + 1) {
    const lower = (front * series(a, x)) / a
    return { lower, upper: 1 - lower }
  }
  const upper = front * continuedFraction(a, x)
  return { lower: 1 - upper, upper }
}

/** ln(x^a e^−x / Γ(a)); for large a the leading terms are taken together, where apart they would cancel. */
function logFront(a: number, x: number): number {
  if (a < 10) return a * Math.log(x) - x - logGamma(a)
  const excess = (x - a) / a
  return a * (Math.log1p(excess) - excess) + 0.5 * Math.log(a / (2 * Math.PI)) - stirlingCorrection(a)
}

function series(a: number, x: number): number {
  let [term, sum] = [1, 1]
  for (let n = 1; n <= MOST_TERMS; n++) {
    term *= x / (a + n)
    sum += term
    if (term < sum * RELATIVE_STEP) break
  }
  return sum
}

function continuedFraction(a: number, x: number): number {
  let b = x + 1 - a
  let c = 1 / TINY
  let d = 1 / b
  let value = d
  for (let n = 1; n <= MOST_TERMS; n++) {
    const an = -n * (n - a)
    b += 2
    d = 1 / nonzero(an * d + b)
    c = nonzero(b + an / c)
    const step = d * c
    value *= step
    if (Math.abs(step - 1) <= RELATIVE_STEP * 10) break
  }
  return value
}

function nonzero(value: number): number {
  return Math.abs(value) < TINY ? TINY : value
}
