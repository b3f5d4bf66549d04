import { describe, expect, test } from 'vitest'
import {
  correctionFactor,
  correctionSensitivity,
} from '../../packages/sdk/src/engine/physics/correction/correction-factor.ts'
import { expectedNumber, expectPublished, inputOf, publishedAll, testPublished, titleOf } from '../support/published.ts'

const dryAir = (pressure_Pa: number, temperature_C: number) => ({
  stationPressure_Pa: pressure_Pa,
  airTemperature_K: temperature_C + 273.15,
  relativeHumidity_1: 0,
})

describe('SAE J1349 (Jun 90)', () => {
  for (const check of publishedAll('atm-j1349-').filter(({ inputs }) => 'Pd_hPa' in inputs)) {
    test(titleOf(check), () => {
      const air = dryAir(inputOf(check, 'Pd_hPa') * 100, inputOf(check, 't_C'))
      const correction = correctionFactor('sae-j1349-jun90', air)
      expect(correction.kind).toBe('factor')
      if (correction.kind === 'factor') expectPublished(check, correction.factor)
    })
  }

  testPublished('atm-j1349-p107', (check) => {
    const air = dryAir(expectedNumber(check) * 1000, 25)
    const correction = correctionFactor('sae-j1349-jun90', air)
    const { perPascal } = correctionSensitivity('sae-j1349-jun90', air)
    expect(correction.kind).toBe('factor')
    if (correction.kind !== 'factor') return
    const miss_kPa = Math.log(inputOf(check, 'cf') / correction.factor) / (perPascal * 1000)
    expectPublished(check, expectedNumber(check) + miss_kPa)
  })
})
