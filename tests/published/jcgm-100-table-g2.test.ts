import { describe, test } from 'vitest'
import { studentT } from '../../packages/sdk/src/engine/numerics/student-t.ts'
import { expectPublished, inputOf, publishedAll, titleOf } from '../support/published.ts'

describe('JCGM 100:2008, table G.2', () => {
  for (const check of publishedAll('gum-g2-')) {
    test(titleOf(check), () => {
      const upper = (1 + inputOf(check, 'p')) / 2
      expectPublished(check, studentT.quantile(upper, inputOf(check, 'nu')))
    })
  }
})
