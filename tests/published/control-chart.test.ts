import { describe, test } from 'vitest'
import { chiSquare } from '../../packages/sdk/src/engine/numerics/chi-square.ts'
import { normal } from '../../packages/sdk/src/engine/numerics/normal.ts'
import { c4, commonSd, controlLimits } from '../../packages/sdk/src/engine/statistics/control-limits.ts'
import { expectPublished, inputOf, publishedAll, testPublished, titleOf } from '../support/published.ts'

/** Mean range of n normal values: ∫ 1 - Φⁿ - (1 - Φ)ⁿ; the trapezoidal rule is exact to rounding for such a curve. */
function d2(n: number): number {
  const step = 1 / 32
  let sum = 0
  for (let z = -9; z <= 9; z += step) sum += 1 - normal.cdf(z) ** n - normal.sf(z) ** n
  return sum * step
}

// d3 and D4 need the variance of a range, which nothing in the product uses.
describe('constants of control charts', () => {
  for (const check of publishedAll('ccc-')) {
    test(titleOf(check, 'd2, A2, c4, A3, B4'), () => {
      const n = inputOf(check, 'n')
      expectPublished(check, d2(n), { member: 'd2' })
      expectPublished(check, 3 / (d2(n) * Math.sqrt(n)), { member: 'A2' })
      expectPublished(check, c4(n - 1), { member: 'c4' })
      expectPublished(check, 3 / (c4(n - 1) * Math.sqrt(n)), { member: 'A3' })
      const alike = [0.8, 1, 1.2].map((sd) => ({ sd, dof: n - 1 }))
      expectPublished(check, controlLimits(commonSd(alike), n - 1).upper, { member: 'B4' })
    })
  }
})

describe('interval of a standard deviation, n = 6', () => {
  testPublished('sdci', (check) => {
    expectPublished(check, Math.sqrt(5 / chiSquare.quantile(0.975, 5)), { member: '0' })
    expectPublished(check, Math.sqrt(5 / chiSquare.quantile(0.025, 5)), { member: '1' })
  })
})
