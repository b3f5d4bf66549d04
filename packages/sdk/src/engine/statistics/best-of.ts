import { normal } from '../numerics/normal.ts'

/** Runs that a published best one is counted as the best of, where nobody says. Source: measurement-model, reported figures. */
export const UNKNOWN_BEST_OF = 3

/** The integral is taken over ± this many standard deviations, in this many steps of Simpson's rule. */
const REACH = 9
const STEPS = 1800

/**
 * How far the best of k runs lies above their mean, in standard deviations.
 *
 * E max = ∫ x k φ(x) Φ(x)^(k−1) dx, by Simpson's rule: 0 for k = 1, 0.5642 (= 1/√π) for 2, 0.8463 (= 1.5/√π) for 3.
 *
 * @param k runs that the best was taken from. [1], whole, 1 or more
 * @returns the expected normal order statistic. [1], 0 or more. Pure; never throws.
 *
 * Assumes: independent runs, normal. Source: H. L. Harter, Biometrika 48 (1961) 151 (from memory). Tested:
 * tests/engine/statistics/best-of.test.ts.
 */
export function bestOfShift(k: number): number {
  const h = (2 * REACH) / STEPS
  let sum = 0
  for (let i = 0; i <= STEPS; i++) {
    const x = -REACH + i * h
    const weight = i === 0 || i === STEPS ? 1 : i % 2 === 1 ? 4 : 2
    sum += weight * x * k * density(x) * normal.cdf(x) ** (k - 1)
  }
  return (sum * h) / 3
}

function density(x: number): number {
  return Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI)
}
