import { dot, groupMeans, type Layout } from './cells.ts'

/** Variance ratios of the covariance model, each relative to the run-to-run variance. */
export interface CovarianceRatios {
  /** Between mountings, λ_m. [1] */
  readonly mounting: number
  /** Drift, λ_d, on the centred covariate. [1] */
  readonly drift: number
  /** Warm-up, λ_w; 0 without the term. [1] */
  readonly warmUp: number
}

/** Applies the inverse of the covariance to a vector. */
type Solve = (x: Float64Array) => Float64Array

/**
 * Weights of the generalised least-squares contrast modified minus baseline.
 *
 * V = I + λ_m ZZ' + λ_d t_c t_c' + λ_w f f'; X = [1, s]; a = second row of (X'V⁻¹X)⁻¹X'V⁻¹.
 *
 * V is diagonal blocks plus rank two, so its inverse is applied in linear time and never formed.
 *
 * @param layout sides and mountings of the runs.
 * @param centredT drift covariate minus its mean. [1]; one per run
 * @param warmUp warm-up shape f. [1]; one per run
 * @param ratios variance ratios.
 * @returns weights, one per run; those of the modified side sum to 1, those of the baseline to −1.
 *
 * Source: measurement-model §3.3; Sherman and Morrison (1950). Tested: tests/vectors, scalar.
 */
export function contrastWeights(
  layout: Layout,
  centredT: Float64Array,
  warmUp: Float64Array,
  ratios: CovarianceRatios,
): Float64Array {
  const solve = withRankOne(
    withRankOne(mountingSolve(layout, ratios.mounting), centredT, ratios.drift),
    warmUp,
    ratios.warmUp,
  )
  const ones = new Float64Array(layout.sideOf.length).fill(1)
  const sides = Float64Array.from(layout.sideOf)
  const [p, q] = [solve(ones), solve(sides)]
  const [a11, a12, a22] = [dot(ones, p), dot(ones, q), dot(sides, q)]
  const determinant = a11 * a22 - a12 * a12
  return p.map((_, i) => (a11 * (q[i] ?? 0) - a12 * (p[i] ?? 0)) / determinant)
}

/** (I + λ ZZ')⁻¹ x: the mounting mean shrinks by 1/(1 + λ n), what is left stays; centred first, so that large λ keeps its digits. */
function mountingSolve({ mountingOf, mountingSizes }: Layout, ratio: number): Solve {
  return (x) => {
    const means = groupMeans(x, mountingOf, mountingSizes.length)
    return x.map((value, i) => {
      const mounting = mountingOf[i] ?? 0
      const mean = means[mounting] ?? 0
      return value - mean + mean / (1 + ratio * (mountingSizes[mounting] ?? 0))
    })
  }
}

/** (W⁻¹ + λ u u')⁻¹ x from W x. */
function withRankOne(solve: Solve, u: Float64Array, ratio: number): Solve {
  if (ratio === 0) return solve
  const solved = solve(u)
  const scale = ratio / (1 + ratio * dot(u, solved))
  return (x) => {
    const along = scale * dot(solved, x)
    return solve(x).map((value, i) => value - along * (solved[i] ?? 0))
  }
}
