import { describe, expect, test } from 'vitest'
import { correctionFactor } from '../../packages/sdk/src/engine/physics/correction/correction-factor.ts'
import { correctionStandards } from '../../packages/sdk/src/engine/physics/correction/correction-standards.ts'
import { expectPublished, inputOf, printed, publishedAll, testPublished, titleOf } from '../support/published.ts'

describe('ISO 1585, compression ignition', () => {
  for (const [suffix, standard] of [
    ['turbo12', 'iso-1585-ci-turbocharged-air'],
    ['turbo07', 'iso-1585-ci-turbocharged-liquid'],
  ] as const) {
    for (const check of publishedAll('atm-ci-').filter(({ id }) => id.endsWith(suffix))) {
      test(titleOf(check), () => {
        const correction = correctionFactor(standard, {
          stationPressure_Pa: inputOf(check, 'ps_kPa') * 1000,
          airTemperature_K: inputOf(check, 'T_K'),
          relativeHumidity_1: 0,
          fuelDelivery_mg_per_l_cycle: 2.14 / 0.036, // engine factor 1: the factor is the air factor
        })
        expect(correction.kind).toBe('factor')
        if (correction.kind === 'factor') expectPublished(check, correction.factor)
      })
    }
  }

  testPublished('atm-fm-37.2', (check) => {
    expectPublished(check, correctionStandards['iso-1585-ci-natural'].engineFactor_1(inputOf(check, 'qc')))
  })

  testPublished('atm-ci-limit', (check) => {
    const { factor } = correctionStandards['iso-1585-ci-natural'].validity
    expectPublished(check, factor.lower, { member: 'lower', tolerance: printed(0) })
    expectPublished(check, factor.upper, { member: 'upper', tolerance: printed(0) })
  })
})
