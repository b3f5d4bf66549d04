import { logGamma } from '../numerics/gamma.ts'

/** A standard deviation found, and its degrees of freedom. */
export interface FoundSd {
  /** [unit], at or above 0 */
  readonly sd: number
  /** [1], above 0 */
  readonly dof: number
}

/** Centre line and limits of one point of an s chart. [unit] */
export interface ControlLimits {
  readonly centre: number
  readonly lower: number
  readonly upper: number
}

/** Limits lie so many standard deviations of the charted figure from the centre line. Source: Shewhart; ISO 7870-2. */
const SIGMAS = 3

/**
 * Expectation of the standard deviation of a normal sample over the true one.
 *
 * c4 = √(2/ν) Γ((ν + 1)/2)/Γ(ν/2), ν = degrees of freedom (n − 1 of a sample of n).
 *
 * @param dof degrees of freedom, ν. [1], above 0
 * @returns c4. [1], below 1. Pure; never throws.
 *
 * Source: W. A. Shewhart's constant as in ISO 7870-2. Tested: tests/published/control-chart.test.ts.
 */
export function c4(dof: number): number {
  return Math.sqrt(2 / dof) * Math.exp(logGamma((dof + 1) / 2) - logGamma(dof / 2))
}

/**
 * Standard deviation that several samples have in common: σ = Σ s_j/Σ c4_j; s̄/c4 where all have the same degrees of freedom.
 *
 * @param found at least one.
 * @returns σ. [unit] Pure; never throws.
 */
export function commonSd(found: readonly FoundSd[]): number {
  const sum = found.reduce((total, { sd }) => total + sd, 0)
  return sum / found.reduce((total, { dof }) => total + c4(dof), 0)
}

/**
 * Limits of an s chart at given degrees of freedom: σ (c4 ± 3 √(1 − c4²)), the lower one not below 0. Where all samples are
 * alike these are s̄, B3 s̄ and B4 s̄.
 *
 * @param sd σ, the standard deviation in common. [unit]
 * @param dof degrees of freedom of the point. [1]
 * @returns centre line and limits. Pure; never throws.
 *
 * Source: ISO 7870-2 (limits of a standard deviation, from memory). Tested: tests/published/control-chart.test.ts.
 */
export function controlLimits(sd: number, dof: number): ControlLimits {
  const centre = c4(dof)
  const spread = SIGMAS * Math.sqrt(Math.max(0, 1 - centre * centre))
  return { centre: sd * centre, lower: sd * Math.max(0, centre - spread), upper: sd * (centre + spread) }
}
