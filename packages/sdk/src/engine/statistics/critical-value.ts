import { fallingRoot } from '../numerics/falling-root.ts'
import { normal } from '../numerics/normal.ts'
import { studentT } from '../numerics/student-t.ts'
import { SMALLEST_P } from './interval.ts'

/** What the distribution of the largest deviation along a curve depends on. */
export interface BandShape {
  /** Standard uncertainty that moves the whole curve, with its degrees of freedom. [unit], [1] */
  readonly globalU: number
  readonly globalDof: number
  /** Root mean square of the standard uncertainty along the curve. [unit] */
  readonly localU: number
  /** Expected number of independent wiggles, up to 2π: W/ℓ. [1] */
  readonly kappa: number
}

const NODES = 1000

/** Settles ties of the nodes where the local part is negligible. */
const TIE_OFFSET = 1e-9

const LOWEST = 0.5
const HIGHEST = 200

/** Keeps the logarithm finite where nothing is left outside. */
const SMALLEST_MISS = 1e-300

/** The quantiles above the median over which the global part is averaged; those below it are their mirror images. */
function upperNodes({ globalDof }: BandShape): Float64Array {
  const half = NODES / 2
  return Float64Array.from({ length: half }, (_, j) => studentT.quantile((half + j + 0.5) / NODES, globalDof))
}

/** E(b): crossings of level b by a unit process; every b at or below 0 counts fully. */
function crossing(b: number): number {
  return b <= 0 ? 1 : Math.exp((-b * b) / 2)
}

/** Expected coverage of ±c u along the whole curve, or of c u on one side. */
function coverage(c: number, { globalU, localU, kappa }: BandShape, nodes: Float64Array, sides: 1 | 2): number {
  const u = Math.sqrt(globalU * globalU + localU * localU)
  const divisor = Math.max(localU, 1e-9 * u)
  const rate = kappa / (2 * Math.PI)
  let sum = 0
  for (const tau of nodes) {
    const near = (c * u - globalU * tau) / divisor
    const far = (c * u + globalU * tau) / divisor
    if (sides === 1) {
      sum += normal.cdf(near) * Math.exp(-rate * crossing(near)) + normal.cdf(far) * Math.exp(-rate * crossing(far))
    } else {
      sum += 2 * Math.max(0, normal.cdf(near) - normal.sf(far)) * Math.exp(-rate * (crossing(near) + crossing(far)))
    }
  }
  return sum / NODES
}

/**
 * Critical value of a simultaneous band: so many standard uncertainties cover the whole curve.
 *
 * mean_j max(0, Φ(b₊) − Φ(−b₋)) exp(−(κ/2π)(E(b₊) + E(b₋))) = level, b± = (c u ∓ u_G τ_j)/u_L, over 1,000 quantiles τ_j.
 *
 * @param shape of the band.
 * @param level coverage. [1], 0 to 1
 * @param sides 2 for a band, 1 for a bound.
 * @returns c. [1], 0.5 to 200
 *
 * Source: Rice's formula for the crossings of a Gaussian process; measurement-model §5. Tested: tests/vectors, rice_c.
 */
export function criticalValue(shape: BandShape, level: number, sides: 1 | 2): number {
  const nodes = upperNodes(shape)
  const miss = (c: number) => Math.max(SMALLEST_MISS, 1 - coverage(c, shape, nodes, sides))
  return fallingRoot((c) => Math.log(miss(c) / (1 - level - TIE_OFFSET)), LOWEST, HIGHEST)
}

/**
 * One-sided p of the largest standardised deviation along a curve.
 *
 * sim(T) = 1 − mean_j Φ(b₊) exp(−(κ/2π) E(b₊)) at c = T; 1 for T at or below 0.
 *
 * @param shape of the band.
 * @param largest the largest deviation, in standard uncertainties. [1]
 * @returns p. [1], 1e-9 to 1
 */
export function simultaneousP(shape: BandShape, largest: number): number {
  if (!(largest > 0)) return 1
  return Math.min(1, Math.max(SMALLEST_P, 1 - coverage(largest, shape, upperNodes(shape), 1)))
}
