import { EngineError } from '../engine-error.ts'
import { logBeta } from './gamma.ts'
import { incompleteBeta, type Tails } from './incomplete-beta.ts'
import { searchQuantile } from './quantile.ts'

function requireDofs(d1: number, d2: number): void {
  if (!(d1 > 0 && d2 > 0))
    throw new EngineError('ERR_OUT_OF_RANGE', `degrees of freedom ${d1}, ${d2} are not above 0`, 'd1')
}

function tailsAt(f: number, d1: number, d2: number): Tails {
  if (!(f > 0)) return { lower: Number.isNaN(f) ? f : 0, upper: Number.isNaN(f) ? f : 1 }
  if (f === Number.POSITIVE_INFINITY) return { lower: 1, upper: 0 }
  const ratio = (d1 / d2) * f
  return incompleteBeta(ratio / (1 + ratio), 1 / (1 + ratio), d1 / 2, d2 / 2)
}

function density(f: number, d1: number, d2: number): number {
  const log = (d1 / 2) * Math.log(d1 / d2) + (d1 / 2 - 1) * Math.log(f) - ((d1 + d2) / 2) * Math.log1p((d1 / d2) * f)
  return Math.exp(log - logBeta(d1 / 2, d2 / 2))
}

/** Fisher's F distribution; degrees of freedom may be fractional. */
export const fisherF = {
  /**
   * P(F ≤ f).
   *
   * @param f [1]
   * @param d1 degrees of freedom of the numerator. [1], above 0
   * @param d2 degrees of freedom of the denominator. [1], above 0
   * @returns [1], 0 to 1
   * @throws EngineError `ERR_OUT_OF_RANGE` when one is not above 0.
   *
   * Source: Abramowitz and Stegun 26.6.2 through the incomplete beta function. Tested: tests/golden/distributions.
   */
  cdf: (f: number, d1: number, d2: number): number => {
    requireDofs(d1, d2)
    return tailsAt(f, d1, d2).lower
  },

  /** P(F > f). [1], 0 to 1; small tails keep their digits. */
  sf: (f: number, d1: number, d2: number): number => {
    requireDofs(d1, d2)
    return tailsAt(f, d1, d2).upper
  },

  /** f with P(F ≤ f) = p. [1]; 0 at 0, ∞ at 1, NaN for p outside. */
  quantile: (p: number, d1: number, d2: number): number => {
    requireDofs(d1, d2)
    if (p === 0 || p === 1) return p === 0 ? 0 : Number.POSITIVE_INFINITY
    if (!(p > 0 && p < 1)) return Number.NaN
    return searchQuantile(p, 1 - p, {
      tails: (f) => tailsAt(f, d1, d2),
      density: (f) => density(f, d1, d2),
      low: 0,
      high: Number.MAX_VALUE,
      guess: 1,
    })
  },
} as const
