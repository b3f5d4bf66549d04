import { describe } from 'vitest'
import { studentT } from '../../packages/sdk/src/engine/numerics/student-t.ts'
import {
  effectiveDof,
  intervalOf,
  oneSidedP,
  totalVariance,
  type VarianceComponent,
} from '../../packages/sdk/src/engine/statistics/interval.ts'
import { expectPublished, listOf, published, testPublished } from '../support/published.ts'
import { ofMean, pooled, sampleOf } from '../support/samples.ts'

/** A difference with its budget, as the engine joins it. */
function testOf(difference: number, components: readonly VarianceComponent[]) {
  const interval = intervalOf(difference, components, false)
  return {
    t: difference / Math.sqrt(totalVariance(components)),
    df: effectiveDof(components),
    p: 2 * oneSidedP(Math.abs(difference), components, 'ws'),
    lo: interval?.low ?? Number.NaN,
    hi: interval?.high ?? Number.NaN,
  }
}

describe('R data set sleep (extra hours of sleep, two groups)', () => {
  testPublished('sleep-welch', (check) => {
    const [a, b] = [sampleOf(listOf(check, 'g1')), sampleOf(listOf(check, 'g2'))]
    const welch = testOf(a.mean - b.mean, [ofMean(a), ofMean(b)])
    for (const [member, value] of Object.entries(welch)) expectPublished(check, value, { member })
  })
})

describe('MASS data set shoes (wear of two soles on ten boys)', () => {
  testPublished('shoes-paired', (check) => {
    const [worn, other] = [listOf(check, 'A'), listOf(check, 'B')]
    const differences = sampleOf(worn.map((value, i) => value - (other[i] ?? Number.NaN)))
    const paired = testOf(differences.mean, [ofMean(differences)])
    expectPublished(check, paired.t, { member: 'paired_t' })
    expectPublished(check, paired.p, { member: 'p' })
    expectPublished(check, paired.lo, { member: 'lo' })
    expectPublished(check, paired.hi, { member: 'hi' })

    const [a, b] = [sampleOf(worn), sampleOf(other)]
    const welch = testOf(a.mean - b.mean, [ofMean(a), ofMean(b)])
    expectPublished(check, welch.t, { member: 'welch_t' })
    expectPublished(check, welch.df, { member: 'welch_df' })
    expectPublished(check, welch.p, { member: 'welch_p' })
    expectPublished(check, welch.lo, { member: 'welch_lo' })
    expectPublished(check, welch.hi, { member: 'welch_hi' })
  })
})

describe('a worked before-and-after comparison (invented data)', () => {
  const before = sampleOf([98.2, 98.9, 98.5])
  const after = sampleOf([101.9, 101.4, 102.2])

  testPublished('welch-gain', (check) => {
    const components = [ofMean(after), ofMean(before)]
    const difference = after.mean - before.mean
    const { t, df, p } = testOf(difference, components)
    const se = Math.sqrt(totalVariance(components))
    expectPublished(check, difference, { member: 'diff' })
    expectPublished(check, se, { member: 'se' })
    expectPublished(check, df, { member: 'df' })
    expectPublished(check, t, { member: 't' })
    expectPublished(check, p, { member: 'p' })
    // With 2 degrees of freedom a side the engine's own interval is Howe's, wider than Welch's.
    const reach = studentT.quantile(0.975, df) * se
    expectPublished(check, difference - reach, { member: 'lo' })
    expectPublished(check, difference + reach, { member: 'hi' })

    const ratio = after.mean / before.mean
    const relative = totalVariance([
      { ...ofMean(after), variance: ofMean(after).variance / after.mean ** 2 },
      { ...ofMean(before), variance: ofMean(before).variance / before.mean ** 2 },
    ])
    expectPublished(check, 100 * (ratio - 1), { member: 'gain_pct' })
    expectPublished(check, 100 * ratio * Math.sqrt(relative), { member: 'u_gain_pct' })
  })

  testPublished('fieller', () => {
    // E. C. Fieller: the ratios ρ with (a - ρ b)² ≤ t² s² (1/n + ρ²/n), one variance for both sides.
    const one = pooled(before, after)
    const perMean = one.variance / 2
    const t2 = studentT.quantile(0.975, one.dof) ** 2
    const A = before.mean ** 2 - t2 * perMean
    const B = before.mean * after.mean
    const C = after.mean ** 2 - t2 * perMean
    const root = Math.sqrt(B ** 2 - A * C)
    const check = published('fieller')
    expectPublished(check, (B - root) / A, { member: '0' })
    expectPublished(check, (B + root) / A, { member: '1' })
  })
})
