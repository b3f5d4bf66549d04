import { describe, expect, test } from 'vitest'
import { correctionFactor } from '../../packages/sdk/src/engine/physics/correction/correction-factor.ts'
import { expectPublished, inputOf, publishedAll, titleOf } from '../support/published.ts'

describe('DIN 70020', () => {
  for (const check of publishedAll('atm-din-')) {
    test(titleOf(check), () => {
      const correction = correctionFactor('din-70020', {
        stationPressure_Pa: inputOf(check, 'p_hPa') * 100,
        airTemperature_K: inputOf(check, 't_C') + 273.15,
        relativeHumidity_1: 0.6, // total pressure: humidity must not enter
      })
      expect(correction.kind).toBe('factor')
      if (correction.kind === 'factor') expectPublished(check, correction.factor)
    })
  }
})
