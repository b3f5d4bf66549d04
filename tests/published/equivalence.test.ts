import { describe } from 'vitest'
import { studentT } from '../../packages/sdk/src/engine/numerics/student-t.ts'
import {
  effectiveDof,
  intervalOf,
  oneSidedP,
  totalVariance,
  type VarianceComponent,
} from '../../packages/sdk/src/engine/statistics/interval.ts'
import {
  expectPublished,
  listOf,
  type PublishedCheck,
  printed,
  published,
  testPublished,
} from '../support/published.ts'
import { ofMean, pooled, sampleOf } from '../support/samples.ts'

describe('two one-sided tests, NCSS chapter 198 (bounds ±110, α 2.5 %)', () => {
  const data = published('tost-ncss-eq')
  const [a, b] = [sampleOf(listOf(data, 'A')), sampleOf(listOf(data, 'B'))]
  const difference = a.mean - b.mean

  function expectEquivalence(check: PublishedCheck, components: readonly VarianceComponent[], df: number) {
    const interval = intervalOf(difference, components, false)
    expectPublished(check, effectiveDof(components), { member: 'df', tolerance: printed(df) })
    expectPublished(check, Math.sqrt(totalVariance(components)), { member: 'SE', tolerance: printed(5e-7) })
    expectPublished(check, interval?.low ?? Number.NaN, { member: 'lo', tolerance: printed(5e-6) })
    expectPublished(check, interval?.high ?? Number.NaN, { member: 'hi', tolerance: printed(5e-6) })
    // The difference is above -110, and below 110.
    expectPublished(check, oneSidedP(difference + 110, components, 'ws'), { member: 'pL', tolerance: printed(5e-6) })
    expectPublished(check, oneSidedP(110 - difference, components, 'ws'), { member: 'pU', tolerance: printed(5e-6) })
  }

  testPublished('tost-ncss-eq', (check) => {
    expectPublished(check, difference, { member: 'diff', tolerance: printed(5e-8) })
    expectEquivalence(check, [pooled(a, b)], 1e-9)
  })

  testPublished('tost-ncss-welch', (check) => expectEquivalence(check, [ofMean(a), ofMean(b)], 0.0005))
})

describe('two one-sided tests from summary figures', () => {
  testPublished('tost-moery', (check) => {
    // n 95 and 89, means 5.25 and 5.22, sds 0.95 and 0.83; the bound is 0.43 pooled sds.
    const a = { count: 95, mean: 5.25, variance: 0.95 ** 2 }
    const b = { count: 89, mean: 5.22, variance: 0.83 ** 2 }
    const components = [ofMean(a), ofMean(b)]
    const bound = 0.43 * Math.sqrt((a.variance + b.variance) / 2)
    const below = a.mean - b.mean - bound
    expectPublished(check, below / Math.sqrt(totalVariance(components)), { member: 't' })
    expectPublished(check, oneSidedP(-below, components, 'ws'), { member: 'p', tolerance: printed(0.0005) })
    // Printed as 182, n - 2; Welch's degrees of freedom are 181.13.
    expectPublished(check, effectiveDof(components), { member: 'df', tolerance: printed(1) })
  })

  testPublished('tost-one', (check) => {
    // n 100, mean 0.54 against 0.5, sd 1.2; the bounds are 0.3 sds.
    const sample = { count: 100, mean: 0.04, variance: 1.2 ** 2 }
    const components = [ofMean(sample)]
    const se = Math.sqrt(totalVariance(components))
    const bound = 0.3 * 1.2
    expectPublished(check, (sample.mean + bound) / se, { member: 't1', tolerance: printed(5e-7) })
    expectPublished(check, (sample.mean - bound) / se, { member: 't2', tolerance: printed(5e-7) })
    expectPublished(check, oneSidedP(sample.mean + bound, components, 'ws'), {
      member: 'p1',
      tolerance: printed(5e-11),
    })
    expectPublished(check, oneSidedP(bound - sample.mean, components, 'ws'), {
      member: 'p2',
      tolerance: printed(5e-10),
    })
    const reach = studentT.quantile(0.95, effectiveDof(components)) * se
    expectPublished(check, sample.mean - reach, { member: 'ci90.0', tolerance: printed(5e-8) })
    expectPublished(check, sample.mean + reach, { member: 'ci90.1', tolerance: printed(5e-8) })
  })
})
