import { describe, test } from 'vitest'
import { airDensity_kg_per_m3, densityAltitude_m } from '../../packages/sdk/src/engine/physics/air-density.ts'
import { expectPublished, inputOf, printed, publishedAll, titleOf } from '../support/published.ts'

describe('density altitude', () => {
  for (const check of publishedAll('da-')) {
    test(titleOf(check), () => {
      const density = airDensity_kg_per_m3({
        stationPressure_Pa: inputOf(check, 'p_hPa') * 100,
        airTemperature_K: inputOf(check, 't') + 273.15,
        relativeHumidity_1: inputOf(check, 'RH') / 100,
      })
      expectPublished(check, density, { member: 'rho', tolerance: printed(1e-6) })
      expectPublished(check, densityAltitude_m(density), { member: 'DA_m', tolerance: printed(0.1) })
    })
  }
})
