import { EngineError } from '../engine-error.ts'
import { logBeta } from './gamma.ts'
import { incompleteBeta } from './incomplete-beta.ts'
import { searchQuantile } from './quantile.ts'

function requireShapes(a: number, b: number): void {
  if (!(a > 0 && b > 0)) throw new EngineError('ERR_OUT_OF_RANGE', `shapes ${a} and ${b} are not above 0`, 'a')
}

/** The beta distribution on 0 to 1. */
export const beta = {
  /**
   * P(X ≤ x) = I_x(a, b).
   *
   * @param x [1]; 0 below the interval, 1 above it
   * @param a first shape. [1], above 0
   * @param b second shape. [1], above 0
   * @returns [1], 0 to 1
   * @throws EngineError `ERR_OUT_OF_RANGE` when a shape is not above 0. Tested: tests/golden/distributions.
   */
  cdf: (x: number, a: number, b: number): number => {
    requireShapes(a, b)
    return incompleteBeta(Math.min(Math.max(x, 0), 1), 1 - Math.min(Math.max(x, 0), 1), a, b).lower
  },

  /** P(X > x). [1], 0 to 1 */
  sf: (x: number, a: number, b: number): number => {
    requireShapes(a, b)
    return incompleteBeta(Math.min(Math.max(x, 0), 1), 1 - Math.min(Math.max(x, 0), 1), a, b).upper
  },

  /** x with P(X ≤ x) = p. [1], 0 to 1; NaN for p outside 0 to 1. */
  quantile: (p: number, a: number, b: number): number => {
    requireShapes(a, b)
    if (p === 0 || p === 1) return p
    if (!(p > 0 && p < 1)) return Number.NaN
    return searchQuantile(p, 1 - p, {
      tails: (x) => incompleteBeta(x, 1 - x, a, b),
      density: (x) => Math.exp((a - 1) * Math.log(x) + (b - 1) * Math.log1p(-x) - logBeta(a, b)),
      low: 0,
      high: 1,
      guess: a / (a + b),
    })
  },
} as const
