import { EngineError } from '../engine-error.ts'
import { logGamma } from './gamma.ts'
import { incompleteGamma } from './incomplete-gamma.ts'
import { chiSquareQuantileGuess } from './jstat-functions.ts'
import { searchQuantile } from './quantile.ts'

function requireDof(dof: number): void {
  if (!(dof > 0)) throw new EngineError('ERR_OUT_OF_RANGE', `degrees of freedom ${dof} are not above 0`, 'dof')
}

/** The chi-square distribution; degrees of freedom may be fractional. */
export const chiSquare = {
  /**
   * P(X ≤ x).
   *
   * @param x [1]; 0 below the interval
   * @param dof degrees of freedom. [1], above 0
   * @returns [1], 0 to 1
   * @throws EngineError `ERR_OUT_OF_RANGE` when dof is not above 0.
   *
   * Source: Abramowitz and Stegun 26.4.19 through the incomplete gamma function. Tested: tests/golden/distributions.
   */
  cdf: (x: number, dof: number): number => {
    requireDof(dof)
    return incompleteGamma(dof / 2, Math.max(x, 0) / 2).lower
  },

  /** P(X > x). [1], 0 to 1; small tails keep their digits. */
  sf: (x: number, dof: number): number => {
    requireDof(dof)
    return incompleteGamma(dof / 2, Math.max(x, 0) / 2).upper
  },

  /** x with P(X ≤ x) = p. [1]; 0 at 0, ∞ at 1, NaN for p outside. */
  quantile: (p: number, dof: number): number => {
    requireDof(dof)
    if (p === 0 || p === 1) return p === 0 ? 0 : Number.POSITIVE_INFINITY
    if (!(p > 0 && p < 1)) return Number.NaN
    const half = dof / 2
    return searchQuantile(p, 1 - p, {
      tails: (x) => incompleteGamma(half, x / 2),
      density: (x) => 0.5 * Math.exp((half - 1) * Math.log(x / 2) - x / 2 - logGamma(half)),
      low: 0,
      high: Number.MAX_VALUE,
      guess: chiSquareQuantileGuess(p, dof),
    })
  },
} as const
