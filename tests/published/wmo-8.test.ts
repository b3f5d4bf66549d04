import { describe, test } from 'vitest'
import {
  dewPoint_K,
  dryAirPressure_Pa,
  enhancementFactor_1,
  saturationVapourPressure_Pa,
  vapourPressure_Pa,
  wetBulbRelativeHumidity_1,
  wetBulbVapourPressure_Pa,
} from '../../packages/sdk/src/engine/physics/air.ts'
import { expectPublished, inputOf, publishedAll, testPublished, titleOf } from '../support/published.ts'

const kelvin = (celsius: number) => celsius + 273.15

describe('WMO-No. 8, annex 4.B', () => {
  for (const check of publishedAll('hum-wmo-')) {
    test(titleOf(check), () => {
      expectPublished(check, saturationVapourPressure_Pa(kelvin(inputOf(check, 't_C'))) / 100)
    })
  }

  for (const check of publishedAll('hum-wmof-')) {
    test(titleOf(check), () => {
      const pure_Pa = saturationVapourPressure_Pa(kelvin(inputOf(check, 't_C')))
      expectPublished(check, (enhancementFactor_1(inputOf(check, 'p_hPa') * 100) * pure_Pa) / 100)
    })
  }

  for (const check of publishedAll('hum-psy-')) {
    test(titleOf(check), () => {
      const reading = {
        stationPressure_Pa: inputOf(check, 'p_hPa') * 100,
        airTemperature_K: kelvin(inputOf(check, 't')),
        wetBulbTemperature_K: kelvin(inputOf(check, 'tw')),
      }
      const e_Pa = wetBulbVapourPressure_Pa(reading)
      expectPublished(check, e_Pa / 100, { member: 'e_hPa' })
      expectPublished(check, wetBulbRelativeHumidity_1(reading) * 100, { member: 'RH_pct' })
      expectPublished(check, (reading.stationPressure_Pa - e_Pa) / 100, { member: 'pd_hPa' })
    })
  }

  for (const check of publishedAll('hum-dry-')) {
    test(titleOf(check), () => {
      const airTemperature_K = kelvin(inputOf(check, 't'))
      const relativeHumidity_1 = inputOf(check, 'RH_pct') / 100
      const stationPressure_Pa = inputOf(check, 'p_hPa') * 100
      expectPublished(check, vapourPressure_Pa(airTemperature_K, relativeHumidity_1) / 100, { member: 'e_hPa' })
      const dry_Pa = dryAirPressure_Pa({ stationPressure_Pa, airTemperature_K, relativeHumidity_1 })
      expectPublished(check, dry_Pa / 100, { member: 'pd_hPa' })
    })
  }

  testPublished('hum-td-20', (check) => {
    const e_Pa = vapourPressure_Pa(kelvin(inputOf(check, 't')), inputOf(check, 'RH_pct') / 100)
    expectPublished(check, dewPoint_K(e_Pa) - 273.15)
  })
})
