import { describe, test } from 'vitest'
import { fisherF } from '../../packages/sdk/src/engine/numerics/fisher-f.ts'
import { normal } from '../../packages/sdk/src/engine/numerics/normal.ts'
import { studentT } from '../../packages/sdk/src/engine/numerics/student-t.ts'
import { expectPublished, inputOf, listOf, publishedAll, testPublished, titleOf } from '../support/published.ts'
import { sampleOf } from '../support/samples.ts'

// The engine tests outliers by moderated leave-one-out, not by these criteria; each is a line over its t and F.

/** Cochran: C = 1 / (1 + (p - 1) / F), F at 1 - α / p on n - 1 and (p - 1)(n - 1). */
function cochran(alpha: number, p: number, n: number): number {
  return 1 / (1 + (p - 1) / fisherF.quantile(1 - alpha / p, n - 1, (p - 1) * (n - 1)))
}

/** Grubbs: G = (n - 1) / √n · √(t² / (n - 2 + t²)), t at 1 - α / n, or at 1 - α / 2n when two-sided, on n - 2. */
function grubbs(alpha: number, n: number, sides: 1 | 2): number {
  const t2 = studentT.quantile(1 - alpha / (sides * n), n - 2) ** 2
  return ((n - 1) / Math.sqrt(n)) * Math.sqrt(t2 / (n - 2 + t2))
}

describe('ISO 5725-2, critical values of Cochran', () => {
  for (const check of publishedAll('cochran-')) {
    test(titleOf(check), () => {
      const [p, n] = [inputOf(check, 'p'), inputOf(check, 'n')]
      expectPublished(check, cochran(0.05, p, n), { member: '0' })
      expectPublished(check, cochran(0.01, p, n), { member: '1' })
    })
  }
})

describe('ISO 5725-2, critical values of Grubbs', () => {
  for (const check of publishedAll('grubbs-').filter(({ inputs }) => 'n' in inputs)) {
    test(titleOf(check), () => {
      const n = inputOf(check, 'n')
      expectPublished(check, grubbs(0.05, n, 1), { member: '0' })
      expectPublished(check, grubbs(0.01, n, 1), { member: '1' })
      expectPublished(check, grubbs(0.05, n, 2), { member: '2' })
      expectPublished(check, grubbs(0.01, n, 2), { member: '3' })
    })
  }

  testPublished('grubbs-creat', (check) => {
    const values = listOf(check, 'x')
    const { mean, variance } = sampleOf(values)
    const farthest = Math.max(...values.map((value) => Math.abs(value - mean)))
    expectPublished(check, farthest / Math.sqrt(variance), { member: 'G' })
    expectPublished(check, grubbs(0.05, values.length, 2), { member: 'crit' })
  })
})

describe('ISO 5725-6, repeatability limit of two readings', () => {
  testPublished('r-limit', (check) => expectPublished(check, normal.quantile(0.975) * Math.SQRT2))
  testPublished('cr-2', (check) => expectPublished(check, normal.quantile(0.975) * Math.SQRT2))
})
