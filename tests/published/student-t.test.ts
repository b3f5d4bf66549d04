import { describe, test } from 'vitest'
import { studentT } from '../../packages/sdk/src/engine/numerics/student-t.ts'
import { expectPublished, inputOf, publishedAll, titleOf } from '../support/published.ts'

describe('quantiles of Student’s t', () => {
  const probabilities = [0.95, 0.975, 0.99, 0.995]

  for (const check of publishedAll('t-')) {
    test(titleOf(check), () => {
      probabilities.forEach((p, i) => {
        expectPublished(check, studentT.quantile(p, inputOf(check, 'df')), { member: String(i) })
      })
    })
  }
})
