import { describe, expect, test } from 'vitest'
import { correctionFactor } from '../../packages/sdk/src/engine/physics/correction/correction-factor.ts'
import { expectPublished, inputOf, publishedAll, titleOf } from '../support/published.ts'

describe('SAE J607 ("STD")', () => {
  for (const check of publishedAll('atm-std-')) {
    test(titleOf(check), () => {
      const correction = correctionFactor('sae-j607', {
        stationPressure_Pa: inputOf(check, 'Pd_kPa') * 1000,
        airTemperature_K: inputOf(check, 't_C') + 273.15,
        relativeHumidity_1: 0,
      })
      expect(correction.kind).toBe('factor')
      if (correction.kind === 'factor') expectPublished(check, correction.factor)
    })
  }
})
