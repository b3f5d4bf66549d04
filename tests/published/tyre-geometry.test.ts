import { describe, expect, test } from 'vitest'
import {
  freeCircumference_m,
  freeDiameter_m,
  parseTyreSize,
  sectionHeight_m,
  warmedTyrePressure_Pa,
} from '../../packages/sdk/src/engine/physics/tyre.ts'
import { convert } from '../../packages/sdk/src/engine/physics/units.ts'
import { expectPublished, inputOf, publishedAll, titleOf } from '../support/published.ts'

describe('dimensions of a free tyre from its size', () => {
  for (const check of publishedAll('tyre-').filter(({ inputs }) => 'size' in inputs)) {
    test(titleOf(check), () => {
      const size = parseTyreSize(String(check.inputs.size))
      expect(size.kind).toBe('size')
      if (size.kind !== 'size') return
      expectPublished(check, sectionHeight_m(size) * 1000, { member: 'H' })
      expectPublished(check, freeDiameter_m(size) * 1000, { member: 'D' })
      expectPublished(check, freeCircumference_m(size) * 1000, { member: 'circ' })
      expectPublished(check, 1000 / freeCircumference_m(size), { member: 'rev_km' })
    })
  }
})

describe('pressure of a warmed tyre, Gay-Lussac', () => {
  for (const check of publishedAll('tyre-p-')) {
    test(titleOf(check), () => {
      const after_Pa = warmedTyrePressure_Pa({
        gaugePressure_Pa: convert(inputOf(check, 'p_bar'), 'bar', 'Pa'),
        fromTemperature_K: convert(inputOf(check, 't1'), 'degC', 'K'),
        toTemperature_K: convert(inputOf(check, 't2'), 'degC', 'K'),
        stationPressure_Pa: 101_325,
      })
      expectPublished(check, convert(after_Pa, 'Pa', 'bar'))
    })
  }
})
