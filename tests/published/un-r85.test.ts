import { describe, test } from 'vitest'
import type { CorrectionId } from '../../packages/sdk/src/contract/corrections.ts'
import {
  type CorrectionConditions,
  correctionFactor,
  correctionSensitivity,
} from '../../packages/sdk/src/engine/physics/correction/correction-factor.ts'
import { unR85CiNatural } from '../../packages/sdk/src/engine/physics/correction/un-r85-compression-ignition.ts'
import { expectedNumber, expectPublished, inputOf, publishedAll, testPublished, titleOf } from '../support/published.ts'

/** Dry air: the vapour pressure is 0, so station pressure and dry pressure are the same. */
const dryAir = (pressure_kPa: number, temperature_K: number): CorrectionConditions => ({
  stationPressure_Pa: pressure_kPa * 1000,
  airTemperature_K: temperature_K,
  relativeHumidity_1: 0,
})

function factorOf(standard: CorrectionId, conditions: CorrectionConditions): number {
  const correction = correctionFactor(standard, conditions)
  if (correction.kind === 'factor') return correction.factor
  throw new Error(`${standard} gives no factor: ${correction.reason}`)
}

describe('UN R85 / ISO 1585 form, spark ignition', () => {
  // T = t + 273 enters as the absolute temperature t + 273.
  for (const check of publishedAll('atm-si-')) {
    test(titleOf(check), () => {
      const air = dryAir(inputOf(check, 'ps_dry_kPa'), inputOf(check, 't_C') + 273)
      expectPublished(check, factorOf('un-r85', air))
    })
  }

  for (const check of publishedAll('atm-si273-')) {
    test(titleOf(check), () => {
      const air = dryAir(inputOf(check, 'ps_dry_kPa'), inputOf(check, 't_C') + 273.15)
      expectPublished(check, factorOf('un-r85', air))
    })
  }

  testPublished('atm-ref-unity-si', (check) => {
    expectPublished(check, factorOf('un-r85', dryAir(inputOf(check, 'ps_dry_kPa'), inputOf(check, 'T_K'))))
  })

  // The published quantity is the air at which the factor meets a limit: the published air, taken along the slope of
  // ln factor by what the factor there lacks, must be itself.
  for (const id of ['atm-limit-p93', 'atm-limit-p107']) {
    testPublished(id, (check) => {
      const air = dryAir(expectedNumber(check), 298)
      const { perPascal } = correctionSensitivity('un-r85', air)
      const missing_1 = Math.log(inputOf(check, 'alpha') / factorOf('un-r85', air))
      expectPublished(check, expectedNumber(check) + missing_1 / (perPascal * 1000))
    })
  }

  testPublished('atm-limit-T107', (check) => {
    const air = dryAir(99, expectedNumber(check))
    const { perKelvin } = correctionSensitivity('un-r85', air)
    const missing_1 = Math.log(inputOf(check, 'alpha') / factorOf('un-r85', air))
    expectPublished(check, expectedNumber(check) + missing_1 / perKelvin)
  })

  testPublished('atm-sens-p', (check) => {
    const { perPascal } = correctionSensitivity('un-r85', dryAir(inputOf(check, 'ps_kPa'), 301.55))
    expectPublished(check, perPascal * 1000)
  })

  testPublished('atm-sens-T', (check) => {
    expectPublished(check, correctionSensitivity('un-r85', dryAir(97.3, inputOf(check, 'T_K'))).perKelvin)
  })

  testPublished('atm-u', (check) => {
    const air = dryAir(inputOf(check, 'ps_kPa'), inputOf(check, 'T_K'))
    const { perPascal, perKelvin } = correctionSensitivity('un-r85', air)
    expectPublished(check, factorOf('un-r85', air) * Math.hypot(perPascal * 100, perKelvin * 1))
  })
})

describe('UN R85, compression ignition', () => {
  // With an engine factor of 1 (qc = 59.444…) the factor is the air factor fa itself.
  const whereEngineFactorIs1 = 2.14 / 0.036

  for (const [suffix, standard] of [
    ['namech07', 'un-r85-ci-natural'],
    ['turbo15', 'un-r85-ci-turbocharged'],
  ] as const) {
    for (const check of publishedAll('atm-ci-').filter(({ id }) => id.endsWith(suffix))) {
      test(titleOf(check), () => {
        const air = dryAir(inputOf(check, 'ps_kPa'), inputOf(check, 'T_K'))
        expectPublished(check, factorOf(standard, { ...air, fuelDelivery_mg_per_l_cycle: whereEngineFactorIs1 }))
      })
    }
  }

  testPublished('atm-fm-40', (check) => {
    expectPublished(check, unR85CiNatural.engineFactor_1(inputOf(check, 'qc')))
  })

  testPublished('atm-ci-alpha', (check) => {
    const air = dryAir(inputOf(check, 'ps_kPa'), inputOf(check, 'T_K'))
    const fuelDelivery_mg_per_l_cycle = inputOf(check, 'qc')
    expectPublished(check, factorOf('un-r85-ci-natural', { ...air, fuelDelivery_mg_per_l_cycle }))
  })
})
