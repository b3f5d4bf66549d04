import { describe, test } from 'vitest'
import { cipm2007Density_kg_per_m3 } from '../../packages/sdk/src/engine/physics/air-density.ts'
import { convert } from '../../packages/sdk/src/engine/physics/units.ts'
import { expectPublished, inputOf, printedWithin, publishedAll, titleOf } from '../support/published.ts'

describe('CIPM-2007, Picard et al., Metrologia 45 (2008) 149', () => {
  for (const check of publishedAll('cipm-')) {
    test(titleOf(check), () => {
      const density = cipm2007Density_kg_per_m3({
        stationPressure_Pa:
          'p_Pa' in check.inputs ? inputOf(check, 'p_Pa') : convert(inputOf(check, 'p_mmHg'), 'mmHg', 'Pa'),
        airTemperature_K: inputOf(check, 't') + 273.15,
        relativeHumidity_1: inputOf(check, 'RH'),
      })
      expectPublished(check, density)
    })
  }
})

describe('NIST SOP 2, appendix B (Jones 1978)', () => {
  // The older equation: CIPM-2007 lies about 1e-4 above it, since it counts more argon.
  const olderEquation = printedWithin(2e-4, 'CIPM-2007 differs from Jones 1978 by about 1e-4')

  test.each([
    ['jones-1', 22.3, 748.1, 0.37],
    ['jones-2', 23.4, 612.3, 0.23],
  ])('%s: %f °C, %f mmHg, humidity %f [FOUND: NIST SOP 2, appendix B]', (id, celsius, pressure_mmHg, humidity) => {
    const density = cipm2007Density_kg_per_m3({
      stationPressure_Pa: convert(pressure_mmHg, 'mmHg', 'Pa'),
      airTemperature_K: celsius + 273.15,
      relativeHumidity_1: humidity,
    })
    expectPublished(id, density, { tolerance: olderEquation })
  })
})
