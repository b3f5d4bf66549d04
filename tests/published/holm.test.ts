import { describe } from 'vitest'
import { holm } from '../../packages/sdk/src/engine/claims/multiplicity.ts'
import { expectPublished, testPublished } from '../support/published.ts'

describe('adjusted p of Holm, as R computes them', () => {
  testPublished('padj', (check) => {
    holm([0.01, 0.02, 0.03, 0.04, 0.05]).forEach((p, i) => {
      expectPublished(check, p, { member: `holm.${i}` })
    })
  })
})
