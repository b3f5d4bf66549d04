import { incompleteGamma } from './incomplete-gamma.ts'
import { normalQuantileGuess } from './jstat-functions.ts'

const SQRT_2PI = Math.sqrt(2 * Math.PI)

/** Nodes of the tail table: z = 0, 1/16, 2/16, … 38. Between them the tail follows its Taylor series. */
const NODES_PER_UNIT = 16
const LARGEST_Z = 38

/** Terms of the Taylor series; with steps of 1/32 at most, the next is below 1e-17 of the tail. */
const TERMS = 12

const tailTable = Float64Array.from(
  { length: LARGEST_Z * NODES_PER_UNIT + 1 },
  (_, k) => 0.5 * incompleteGamma(0.5, (k / NODES_PER_UNIT) ** 2 / 2).upper,
)

function density(z: number): number {
  return Math.exp(-0.5 * z * z) / SQRT_2PI
}

/**
 * P(Z > z) for z at or above 0, from the nearest node c of the table.
 *
 * Q(c + h) = Q(c) − φ(c) Σ_n h^{n+1}/(n+1)! He_n(c) (−1)^n, He the Hermite polynomials.
 */
function upperHalf(z: number): number {
  if (z > LARGEST_Z) return 0.5 * incompleteGamma(0.5, (z * z) / 2).upper
  const node = Math.round(z * NODES_PER_UNIT)
  const c = node / NODES_PER_UNIT
  const h = z - c
  let [previous, hermite, power, sum] = [0, 1, h, 0]
  for (let n = 0; n < TERMS; n++) {
    sum += power * hermite
    power *= -h / (n + 2)
    ;[previous, hermite] = [hermite, c * hermite - n * previous]
  }
  return (tailTable[node] ?? 0) - density(c) * sum
}

/** The standard normal distribution. */
export const normal = {
  /** Density φ(z). [1] */
  density,

  /**
   * Φ(z) = P(Z ≤ z).
   *
   * @param z [1]
   * @returns [1], 0 to 1; both tails keep their digits. Pure; never throws. Tested: tests/golden/distributions.
   */
  cdf: (z: number): number => (z < 0 ? upperHalf(-z) : 1 - upperHalf(z)),

  /** P(Z > z). [1], 0 to 1 */
  sf: (z: number): number => (z > 0 ? upperHalf(z) : 1 - upperHalf(-z)),

  /**
   * z with Φ(z) = p.
   *
   * @param p [1], 0 to 1
   * @returns [1]; −∞ at 0 and ∞ at 1; NaN outside.
   */
  quantile: (p: number): number => {
    if (p === 0 || p === 1) return p === 0 ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY
    if (!(p > 0 && p < 1)) return Number.NaN
    if (p > 0.5) return -lowerQuantile(1 - p)
    return lowerQuantile(p)
  },
} as const

/** A Halley step this small leaves an error of its cube, below the last digit of a double. [1] */
const CONVERGED = 1e-6

/** Quantile of a lower tail at or below one half: a first guess, then Halley's steps on our own tail. */
function lowerQuantile(p: number): number {
  if (p === 0.5) return 0
  let z = Math.max(normalQuantileGuess(p), -LARGEST_Z)
  for (let step = 0; step < 4; step++) {
    const u = (normal.cdf(z) - p) / density(z)
    z -= u / (1 + (z * u) / 2)
    if (Math.abs(u) <= CONVERGED * Math.abs(z)) break
  }
  return z
}
