import { describe, test } from 'vitest'
import { blendStoichiometricRatio_1, lambda_1 } from '../../packages/sdk/src/engine/physics/mixture.ts'
import { expectPublished, inputOf, publishedAll, testPublished, titleOf } from '../support/published.ts'

describe('stoichiometric air-fuel ratio of petrol and ethanol', () => {
  for (const [id, ethanol] of [
    ['afr-petrol', 0],
    ['afr-E10', 0.1],
    ['afr-E15', 0.15],
    ['afr-E100', 1],
  ] as const) {
    testPublished(id, (check) => expectPublished(check, blendStoichiometricRatio_1(ethanol)))
  }

  for (const check of publishedAll('afr-mix-')) {
    test(titleOf(check), () => expectPublished(check, blendStoichiometricRatio_1(inputOf(check, 'v_ethanol'))))
  }
})

describe('lambda', () => {
  testPublished('lambda-maxpower', (check) => {
    expectPublished(check, lambda_1(12.5, 14.7), { member: '0' })
    expectPublished(check, lambda_1(13.23, 14.7), { member: '1' })
  })
})
