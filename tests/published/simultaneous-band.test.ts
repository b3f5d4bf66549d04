import { describe, test } from 'vitest'
import { chiSquare } from '../../packages/sdk/src/engine/numerics/chi-square.ts'
import { normal } from '../../packages/sdk/src/engine/numerics/normal.ts'
import {
  expectPublished,
  expectWithin,
  inputOf,
  printed,
  publishedAll,
  testPublished,
  titleOf,
} from '../support/published.ts'

describe('90 % critical values at five points', () => {
  testPublished('band-bonferroni', (check) => {
    expectPublished(check, normal.quantile(1 - (1 - inputOf(check, 'level')) / (2 * 5)))
  })

  testPublished('band-projection_k5', (check) => {
    expectPublished(check, Math.sqrt(chiSquare.quantile(inputOf(check, 'level'), 5)))
  })
})

describe('95 % critical values of the largest of k equally correlated normal values', () => {
  /** P(max |Z| ≤ c): given the shared part u, the k values are independent. */
  function coverage(c: number, rho: number, k: number): number {
    const [shared, own] = [Math.sqrt(rho), Math.sqrt(1 - rho)]
    const step = 1 / 64
    let sum = 0
    for (let u = -9; u <= 9; u += step) {
      const within = normal.cdf((c - shared * u) / own) - normal.cdf((-c - shared * u) / own)
      sum += normal.density(u) * within ** k
    }
    return sum * step
  }

  for (const check of publishedAll('band-eq-')) {
    test(titleOf(check), () => {
      const [rho, k, c] = [inputOf(check, 'rho'), inputOf(check, 'k'), check.expected as number]
      const slope = (coverage(c + 1e-4, rho, k) - coverage(c - 1e-4, rho, k)) / 2e-4
      // The published value, taken along the slope by what its coverage lacks, must be itself.
      expectPublished(check, c + (0.95 - coverage(c, rho, k)) / slope)
    })
  }

  test('independent values need the factor of Šidák', () => {
    expectWithin(coverage(normal.quantile((1 + 0.95 ** (1 / 10)) / 2), 0, 10), 0.95, printed(1e-9))
  })
})
