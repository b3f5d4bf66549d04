import { describe } from 'vitest'
import { fisherF } from '../../packages/sdk/src/engine/numerics/fisher-f.ts'
import { expectedNumber, expectPublished, printed, testPublished } from '../support/published.ts'

// The F of each analysis is taken as printed; what is tested is the tail and the quantile of the engine's F.
describe('one-way analysis of variance: the tail beyond F', () => {
  testPublished('anova-excel', (check) => {
    expectPublished(check, fisherF.sf(expectedNumber(check, 'F'), 3, 36), { member: 'p' })
    expectPublished(check, fisherF.quantile(0.95, 3, 36), { member: 'Fcrit' })
  })

  testPublished('plant', (check) => {
    const p = fisherF.sf(expectedNumber(check, 'F'), expectedNumber(check, 'dfb'), expectedNumber(check, 'dfw'))
    expectPublished(check, p, { member: 'p', tolerance: printed(5e-6) })
  })

  testPublished('morley', (check) => {
    const p = fisherF.sf(expectedNumber(check, 'F'), 4, 95)
    expectPublished(check, p, { member: 'p', tolerance: printed(5e-7) }) // F itself is printed to 5 digits
  })
})
