import { EngineError } from '../engine-error.ts'
import { logBeta } from './gamma.ts'
import { incompleteBeta, type Tails } from './incomplete-beta.ts'
import { normal } from './normal.ts'
import { searchQuantile } from './quantile.ts'

/** Above this many degrees of freedom the expansions about the normal distribution hold to 1e-12 for |t| up to 8. [1] */
const NORMAL_ABOVE = 1e6

/** z with P(Z > z) = P(T > t), to the second order in 1/ν. Source: Abramowitz and Stegun 26.7.5, inverted. */
function normalDeviate(t: number, dof: number): number {
  const square = t * t
  return t * (1 - (square + 1) / (4 * dof) + (13 * square * square + 8 * square + 3) / (96 * dof * dof))
}

/** t with P(T > t) = P(Z > z), to the second order in 1/ν; above 1e7 the second order is below the last digit. */
function fromNormalDeviate(z: number, dof: number): number {
  const square = z * z
  return z * (1 + (square + 1) / (4 * dof) + (5 * square * square + 16 * square + 3) / (96 * dof * dof))
}

function requireDof(dof: number): void {
  if (!(dof > 0)) throw new EngineError('ERR_OUT_OF_RANGE', `degrees of freedom ${dof} are not above 0`, 'dof')
}

/** Upper tail for t at or above 0. */
function upperHalf(t: number, dof: number): number {
  if (dof > NORMAL_ABOVE) return normal.sf(normalDeviate(t, dof))
  if (t === Number.POSITIVE_INFINITY) return 0
  const square = t * t
  if (square === Number.POSITIVE_INFINITY) return 0
  return 0.5 * incompleteBeta(dof / (dof + square), square / (dof + square), dof / 2, 0.5).lower
}

function tailsAt(t: number, dof: number): Tails {
  const half = upperHalf(Math.abs(t), dof)
  return t < 0 ? { lower: half, upper: 1 - half } : { lower: 1 - half, upper: half }
}

function density(t: number, dof: number): number {
  const log = -0.5 * (dof + 1) * Math.log1p((t * t) / dof) - 0.5 * Math.log(dof) - logBeta(dof / 2, 0.5)
  return Math.exp(log)
}

/** Student's t distribution; degrees of freedom may be fractional, 1e9 stands for infinite. */
export const studentT = {
  /**
   * P(T ≤ t).
   *
   * @param t [1]
   * @param dof degrees of freedom. [1], above 0
   * @returns [1], 0 to 1
   * @throws EngineError `ERR_OUT_OF_RANGE` when dof is not above 0.
   *
   * Source: Abramowitz and Stegun 26.7.1 through the incomplete beta function. Tested: tests/golden/distributions.
   */
  cdf: (t: number, dof: number): number => {
    requireDof(dof)
    return Number.isNaN(t) ? Number.NaN : tailsAt(t, dof).lower
  },

  /** P(T > t). [1], 0 to 1; small tails keep their digits. */
  sf: (t: number, dof: number): number => {
    requireDof(dof)
    return Number.isNaN(t) ? Number.NaN : tailsAt(t, dof).upper
  },

  /**
   * t with P(T ≤ t) = p.
   *
   * @param p [1], 0 to 1
   * @param dof degrees of freedom. [1], above 0; above 1e6 by expansion about the normal quantile
   * @returns [1]; ∓∞ at 0 and 1; NaN for p outside.
   * @throws EngineError `ERR_OUT_OF_RANGE` when dof is not above 0.
   */
  quantile: (p: number, dof: number): number => {
    requireDof(dof)
    const z = normal.quantile(p)
    if (!Number.isFinite(z) || z === 0) return z
    if (dof > NORMAL_ABOVE) return fromNormalDeviate(z, dof)
    return p > 0.5 ? positiveQuantile(1 - p, dof, -z) : -positiveQuantile(p, dof, z)
  },
} as const

/** t at or above 0 whose upper tail is `tail`. */
function positiveQuantile(tail: number, dof: number, z: number): number {
  return searchQuantile(1 - tail, tail, {
    tails: (t) => tailsAt(t, dof),
    density: (t) => density(t, dof),
    low: 0,
    high: Number.MAX_VALUE,
    guess: dof < HILL_FROM ? Math.abs(z) * (1 + (z * z + 1) / (4 * dof)) : hillGuess(2 * tail, dof, z),
  })
}

/** Degrees of freedom from which Hill's expansion is a good guess. [1] */
const HILL_FROM = 1

/**
 * First guess at the two-sided quantile, good to about 1e-4.
 *
 * Source: G. W. Hill, Commun. ACM 13 (1970) 619, algorithm 396.
 */
function hillGuess(p: number, n: number, z: number): number {
  const a = 1 / (n - 0.5)
  const b = 48 / (a * a)
  const start = ((20700 * a) / b - 98) * a * a - 16 * a + 96.36
  const d = ((94.5 / (b + start) - 3) / b + 1) * Math.sqrt((a * Math.PI) / 2) * n
  const far = (d * p) ** (2 / n)
  if (far <= 0.05 + a) return Math.sqrt(n * (tailSeries(far, n, d) || far))

  const x = -Math.abs(z)
  const c = start + (n < 5 ? 0.3 * (n - 4.5) * (x + 0.6) : 0)
  const shape = (((0.05 * d * x - 5) * x - 7) * x - 2) * x + b + c
  const y = x * x
  const ratio = (((((0.4 * y + 6.3) * y + 36) * y + 94.5) / shape - y - 3) / b + 1) * x
  return Math.sqrt(n * Math.expm1(a * ratio * ratio))
}

/** t²/n far out in the tail, from Hill's y = (d p)^(2/n). */
function tailSeries(y: number, n: number, d: number): number {
  const inner = 1 / (((n + 6) / (n * y) - 0.089 * d - 0.822) * (n + 2) * 3) + 0.5 / (n + 4)
  return ((inner * y - 1) * (n + 1)) / (n + 2) + 1 / y
}
