import { lowestPoint } from '../numerics/golden-section.ts'
import type { NestedLayout } from './nested-layout.ts'

/** Variances of a nested study by restricted maximum likelihood. */
export interface NestedVariances {
  readonly repeatability: number
  readonly mounting: number
  readonly day: number
}

/** Largest ratio of a component to the repeatability that is looked for, on the scale ln(1 + ratio). */
const HIGHEST = Math.log(1e8)

/**
 * Components of variance of an unbalanced nested study.
 *
 * With γ_m = σ_m²/σ_r², γ_d = σ_d²/σ_r², a_k = γ_m + 1/n_k, A_d = Σ 1/a_k, b_d = γ_d + 1/A_d and the means weighted by 1/a_k
 * within a day and by 1/b_d over the days: Q = SS_r + Σ (ȳ_k − ȳ_d)²/a_k + Σ (ȳ_d − ȳ)²/b_d, and
 * −2 ln L_R = (N − 1) ln Q + Σ ln a_k + Σ ln(A_d b_d) + ln Σ 1/b_d + const, σ_r² = Q/(N − 1); least over γ_m, γ_d ≥ 0.
 *
 * @param layout at least two mountings and a scatter of the runs above 0.
 * @returns the variances; that of the days is 0 where there is one. Pure; takes the same steps for the same input.
 *
 * Source: H. D. Patterson, R. Thompson, Biometrika 58 (1971) 545 (from memory), written out for nested means.
 * Tested: tests/published/nested-variance.test.ts; tests/engine/statistics/nested-components.test.ts against the likelihood
 * of full covariance matrices.
 */
export function nestedReml(layout: NestedLayout): NestedVariances {
  const best = (day: number) => lowestPoint((mounting) => deviance(layout, mounting, day).value, 0, HIGHEST)
  const day = layout.days.length > 1 ? lowestPoint((each) => best(each).value, 0, HIGHEST).x : 0
  const mounting = best(day).x
  const { variance } = deviance(layout, mounting, day)
  return { repeatability: variance, mounting: variance * Math.expm1(mounting), day: variance * Math.expm1(day) }
}

/** −2 ln L_R, but for a constant, at two values of ln(1 + ratio), and the repeatability variance there. */
function deviance({ days, runs }: NestedLayout, mounting: number, day: number): { value: number; variance: number } {
  const [mountingRatio, dayRatio] = [Math.expm1(mounting), Math.expm1(day)]
  let [squares, logs] = [0, 0]
  const outer = days.map(({ mountings }) => {
    const inner = mountings.map((each) => ({ mean: each.mean, spread: mountingRatio + 1 / each.runs }))
    const { weight, mean, squares: between } = weighted(inner)
    squares += between + mountings.reduce((sum, each) => sum + each.squares, 0)
    const spread = dayRatio + 1 / weight
    logs += inner.reduce((sum, each) => sum + Math.log(each.spread), Math.log(weight * spread))
    return { mean, spread }
  })
  const { weight, squares: between } = weighted(outer)
  const total = squares + between
  return { value: (runs - 1) * Math.log(total) + logs + Math.log(weight), variance: total / (runs - 1) }
}

interface Spread {
  readonly mean: number
  /** Variance in units of the repeatability variance. */
  readonly spread: number
}

/** Weights by the inverse spread: their sum, the mean and the squares about it. */
function weighted(means: readonly Spread[]): { weight: number; mean: number; squares: number } {
  let [weight, sum] = [0, 0]
  for (const { mean, spread } of means) {
    weight += 1 / spread
    sum += mean / spread
  }
  const mean = sum / weight
  const squares = means.reduce((total, each) => total + (each.mean - mean) ** 2 / each.spread, 0)
  return { weight, mean, squares }
}
