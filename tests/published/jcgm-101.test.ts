import { describe, expect } from 'vitest'
import { intervalOf, totalVariance } from '../../packages/sdk/src/engine/statistics/interval.ts'
import { expectPublished, printed, testPublished } from '../support/published.ts'

/** 1e9 stands for infinite degrees of freedom. */
const exactly = (sd: number) => ({ variance: sd ** 2, dof: 1e9 })

describe('JCGM 101:2008, 9.2: additive model, propagation of uncertainty', () => {
  testPublished('s1-9.2.2', (check) => {
    const interval = intervalOf(0, [1, 1, 1, 1].map(exactly), false)
    expect(interval).not.toBeNull()
    expectPublished(check, interval?.u ?? Number.NaN, { member: 'u' })
    expectPublished(check, interval?.low ?? Number.NaN, { member: 'lo' })
    expectPublished(check, interval?.high ?? Number.NaN, { member: 'hi' })
  })

  // The 95 % ends of 9.2.3 and 9.2.4 are those of a distribution that is not normal: not what this engine computes.
  testPublished('s1-9.2.3', (check) => {
    expectPublished(check, Math.sqrt(totalVariance([1, 1, 1, 1].map(exactly))), { member: 'u' })
  })

  testPublished('s1-9.2.4', (check) => {
    const u = Math.sqrt(totalVariance([1, 1, 1, 10].map(exactly)))
    expectPublished(check, u, { member: 'u', tolerance: printed(5e-10) })
  })
})
