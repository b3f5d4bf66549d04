import { describe, test } from 'vitest'
import {
  dewPoint_K,
  humidityRatio_kg_per_kg,
  humidityRatioVapourPressure_Pa,
  saturationVapourPressure_Pa,
  wetBulbRelativeHumidity_1,
  wetBulbVapourPressure_Pa,
} from '../../packages/sdk/src/engine/physics/air.ts'
import { airDensity_kg_per_m3 } from '../../packages/sdk/src/engine/physics/air-density.ts'
import {
  seaLevelPressure_Pa,
  standardPressure_Pa,
  standardTemperature_K,
} from '../../packages/sdk/src/engine/physics/atmosphere.ts'
import {
  expectPublished,
  inputOf,
  printed,
  printedWithin,
  publishedAll,
  testPublished,
  titleOf,
} from '../support/published.ts'

const kelvin = (celsius: number) => celsius + 273.15

// ASHRAE's saturation pressure is another formula than the WMO's; they agree to 0.35 % from 5 to 50 °C.
const otherFormula = printedWithin(0.0035, 'the WMO formula agrees to 0.35 %')

describe('ASHRAE Fundamentals 2017, chapter 1, table 3', () => {
  for (const celsius of [5, 25, 50]) {
    testPublished(`hum-ashrae-${celsius}`, (check) => {
      expectPublished(check, saturationVapourPressure_Pa(kelvin(inputOf(check, 't_C'))), { tolerance: otherFormula })
    })
  }
})

describe('ASHRAE Fundamentals 2017, chapter 1, humidity', () => {
  testPublished('hum-W', (check) => {
    const W = humidityRatio_kg_per_kg(inputOf(check, 'e_Pa'), inputOf(check, 'p_Pa'))
    expectPublished(check, W, { tolerance: printedWithin(1e-6, 'as the source asks') })
  })

  const wetBulb = (check: Parameters<typeof inputOf>[0]) => ({
    stationPressure_Pa: inputOf(check, 'p_Pa'),
    airTemperature_K: kelvin(inputOf(check, 't')),
    wetBulbTemperature_K: kelvin(inputOf(check, 'tw')),
  })

  testPublished('hum-Wtwb', (check) => {
    const e_Pa = wetBulbVapourPressure_Pa(wetBulb(check))
    const W = humidityRatio_kg_per_kg(e_Pa, inputOf(check, 'p_Pa'))
    expectPublished(check, W, {
      tolerance: printedWithin(0.005, 'the WMO psychrometer formula, not the adiabatic one'),
    })
  })

  testPublished('hum-ashrae-ex1', (check) => {
    const reading = wetBulb(check)
    const e_Pa = wetBulbVapourPressure_Pa(reading)
    const W = humidityRatio_kg_per_kg(e_Pa, reading.stationPressure_Pa)
    const relativeHumidity_1 = wetBulbRelativeHumidity_1(reading)
    const density = airDensity_kg_per_m3({ ...reading, relativeHumidity_1 })
    // The coefficient of an aspirated psychrometer lies above the thermodynamic one: 5 % of W at a depression of 20 K.
    expectPublished(check, W, { member: 'W', tolerance: printed(4e-4) })
    expectPublished(check, relativeHumidity_1, { member: 'RH', tolerance: printed(0.01) })
    expectPublished(check, (1 + W) / density, { member: 'v', tolerance: printedWithin(0.01, 'as the source asks') })
    expectPublished(check, dewPoint_K(e_Pa) - 273.15, { member: 'tdew', tolerance: printed(0.5) })
  })

  testPublished('hum-rhomoist', (check) => {
    const stationPressure_Pa = inputOf(check, 'p_Pa')
    const airTemperature_K = kelvin(inputOf(check, 't'))
    const e_Pa = humidityRatioVapourPressure_Pa(inputOf(check, 'W'), stationPressure_Pa)
    const relativeHumidity_1 = e_Pa / saturationVapourPressure_Pa(airTemperature_K)
    const density = airDensity_kg_per_m3({ stationPressure_Pa, airTemperature_K, relativeHumidity_1 })
    expectPublished(check, density, { tolerance: printedWithin(3e-4, 'as the source asks') })
  })

  testPublished('hum-vdry', (check) => {
    const air = { stationPressure_Pa: inputOf(check, 'p_Pa'), airTemperature_K: kelvin(25), relativeHumidity_1: 0 }
    expectPublished(check, 1 / airDensity_kg_per_m3(air), { tolerance: printedWithin(1e-3, 'as the source asks') })
  })

  testPublished('hum-slp', (check) => {
    const reduced = seaLevelPressure_Pa({
      stationPressure_Pa: inputOf(check, 'p_Pa'),
      altitude_m: inputOf(check, 'h_m'),
      airTemperature_K: kelvin(inputOf(check, 't_C')),
    })
    expectPublished(check, reduced)
  })
})

describe('ASHRAE Fundamentals 2017, chapter 1, table 1', () => {
  for (const check of publishedAll('isa-ashrae-')) {
    test(titleOf(check), () => expectPublished(check, standardPressure_Pa(inputOf(check, 'h_m'))))
  }

  for (const check of publishedAll('isa-ashraeT-')) {
    test(titleOf(check), () => expectPublished(check, standardTemperature_K(inputOf(check, 'h_m')) - 273.15))
  }
})
