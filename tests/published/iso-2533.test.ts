import { describe, test } from 'vitest'
import { airDensity_kg_per_m3 } from '../../packages/sdk/src/engine/physics/air-density.ts'
import {
  geopotentialAltitude_m,
  standardPressure_Pa,
  standardTemperature_K,
} from '../../packages/sdk/src/engine/physics/atmosphere.ts'
import { expectPublished, inputOf, printedWithin, publishedAll, testPublished, titleOf } from '../support/published.ts'

describe('ISO 2533 / 1976 standard atmosphere', () => {
  for (const check of publishedAll('isa-h-')) {
    test(titleOf(check), () => expectPublished(check, standardPressure_Pa(inputOf(check, 'H_m'))))
  }

  testPublished('isa-1976-5000', (check) => {
    const altitude_m = geopotentialAltitude_m(inputOf(check, 'Z_m'))
    const stationPressure_Pa = standardPressure_Pa(altitude_m)
    const airTemperature_K = standardTemperature_K(altitude_m)
    const density = airDensity_kg_per_m3({ stationPressure_Pa, airTemperature_K, relativeHumidity_1: 0 })
    const rounded = printedWithin(2e-5, 'exponent and gas constant are rounded to 6 and 5 digits')
    expectPublished(check, stationPressure_Pa, { member: 'P', tolerance: rounded })
    expectPublished(check, density, { member: 'rho', tolerance: rounded })
  })
})
