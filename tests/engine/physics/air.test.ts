import { describe, expect, test } from 'vitest'
import {
  dewPoint_K,
  dryAirPressure_Pa,
  humidityRatio_kg_per_kg,
  humidityRatioVapourPressure_Pa,
  vapourPressure_Pa,
  wetBulbVapourPressure_Pa,
} from '../../../packages/sdk/src/engine/physics/air.ts'
import {
  airDensity_kg_per_m3,
  cipm2007Density_kg_per_m3,
} from '../../../packages/sdk/src/engine/physics/air-density.ts'
import { seaLevelPressure_Pa, standardPressure_Pa } from '../../../packages/sdk/src/engine/physics/atmosphere.ts'
import { correctionFactor } from '../../../packages/sdk/src/engine/physics/correction/correction-factor.ts'

const outOfRange = (path: string) => expect.objectContaining({ code: 'ERR_OUT_OF_RANGE', path })
const ordinaryAir = { stationPressure_Pa: 99_000, airTemperature_K: 298.15, relativeHumidity_1: 0.5 }

describe('humid air', () => {
  test('the vapour formula holds at both ends of its range and refuses the step beyond', () => {
    expect(vapourPressure_Pa(228.15, 1)).toBeGreaterThan(0)
    expect(vapourPressure_Pa(333.15, 1)).toBeGreaterThan(0)
    expect(() => vapourPressure_Pa(228.14, 1)).toThrow(outOfRange('airTemperature_K'))
    expect(() => vapourPressure_Pa(333.16, 1)).toThrow(outOfRange('airTemperature_K'))
  })

  test('humidity is a fraction: 1 is saturated, 1.01 and 55 are refused', () => {
    expect(vapourPressure_Pa(298.15, 0)).toBe(0)
    expect(vapourPressure_Pa(298.15, 1)).toBeCloseTo(3160.06, 2) // WMO-No. 8
    for (const humidity of [-0.01, 1.01, 55]) {
      expect(() => vapourPressure_Pa(298.15, humidity)).toThrow(outOfRange('relativeHumidity_1'))
    }
  })

  test('dry air has no vapour at any temperature', () => {
    expect(vapourPressure_Pa(350, 0)).toBe(0)
    for (const temperature of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(() => vapourPressure_Pa(temperature, 0)).toThrow(outOfRange('airTemperature_K'))
    }
  })

  test('NaN fails every guard', () => {
    expect(() => vapourPressure_Pa(Number.NaN, 0.5)).toThrow(outOfRange('airTemperature_K'))
    expect(() => vapourPressure_Pa(298.15, Number.NaN)).toThrow(outOfRange('relativeHumidity_1'))
    expect(() => dryAirPressure_Pa({ ...ordinaryAir, stationPressure_Pa: Number.NaN })).toThrow(
      outOfRange('stationPressure_Pa'),
    )
  })

  test('a gauge pressure, or one in the wrong unit, is not a station pressure', () => {
    for (const stationPressure_Pa of [99, 990, 49_999, 115_001]) {
      expect(() => dryAirPressure_Pa({ ...ordinaryAir, stationPressure_Pa })).toThrow(outOfRange('stationPressure_Pa'))
    }
    expect(dryAirPressure_Pa({ ...ordinaryAir, stationPressure_Pa: 50_000, relativeHumidity_1: 0 })).toBe(50_000)
    expect(dryAirPressure_Pa({ ...ordinaryAir, stationPressure_Pa: 115_000, relativeHumidity_1: 0 })).toBe(115_000)
  })

  test('saturated air has its dew point at its own temperature', () => {
    expect(dewPoint_K(vapourPressure_Pa(291, 1))).toBeCloseTo(291, 9)
    expect(() => dewPoint_K(0)).toThrow(outOfRange('vapourPressure_Pa'))
  })

  test('a wet bulb above the dry one, or impossibly far below, is refused', () => {
    const reading = { stationPressure_Pa: 99_000, airTemperature_K: 303.15, wetBulbTemperature_K: 303.15 }
    expect(wetBulbVapourPressure_Pa(reading)).toBeGreaterThan(0)
    for (const wetBulbTemperature_K of [303.16, 273.15]) {
      expect(() => wetBulbVapourPressure_Pa({ ...reading, wetBulbTemperature_K })).toThrow(
        outOfRange('wetBulbTemperature_K'),
      )
    }
  })

  test('humidity ratio and vapour pressure are each other’s inverse', () => {
    expect(humidityRatioVapourPressure_Pa(humidityRatio_kg_per_kg(2000, 95_000), 95_000)).toBeCloseTo(2000, 9)
    for (const vapour_Pa of [95_000, -1, Number.POSITIVE_INFINITY]) {
      expect(() => humidityRatio_kg_per_kg(vapour_Pa, 95_000)).toThrow(outOfRange('vapourPressure_Pa'))
    }
    expect(() => humidityRatioVapourPressure_Pa(Number.POSITIVE_INFINITY, 95_000)).toThrow(
      outOfRange('humidityRatio_kg_per_kg'),
    )
  })

  test('the ideal mixture lies within 0.1 % of CIPM-2007 over the air of a rig', () => {
    for (const stationPressure_Pa of [85_000, 99_000, 103_000]) {
      for (const airTemperature_K of [283.15, 298.15, 313.15]) {
        for (const relativeHumidity_1 of [0, 0.5, 0.9]) {
          const air = { stationPressure_Pa, airTemperature_K, relativeHumidity_1 }
          expect(Math.abs(airDensity_kg_per_m3(air) / cipm2007Density_kg_per_m3(air) - 1)).toBeLessThan(1e-3)
        }
      }
    }
  })
})

describe('sea-level pressure taken for station pressure', () => {
  const station_Pa = standardPressure_Pa(500)
  const reduced_Pa = seaLevelPressure_Pa({ stationPressure_Pa: station_Pa, altitude_m: 500, airTemperature_K: 284.9 })

  test('at 500 m it is 6 % too high, and close to 1013 hPa', () => {
    expect(reduced_Pa / station_Pa).toBeCloseTo(1.0614, 3) // 101325 / 95461 of the standard atmosphere
    expect(reduced_Pa / 100).toBeCloseTo(1013.25, 0)
  })

  test('it moves the spark-ignition factor by 7 %', () => {
    const factorAt = (stationPressure_Pa: number) => {
      const correction = correctionFactor('un-r85', { ...ordinaryAir, stationPressure_Pa })
      return correction.kind === 'factor' ? correction.factor : Number.NaN
    }
    expect(factorAt(station_Pa) / factorAt(reduced_Pa)).toBeCloseTo(1.0752, 3) // ((p0 - e) / (p - e))^1.2, e = 1580 Pa
  })

  test('altitudes no road reaches are refused at the limit', () => {
    expect(standardPressure_Pa(-500)).toBeGreaterThan(standardPressure_Pa(6000))
    for (const altitude of [-501, 6001, Number.NaN]) {
      expect(() => standardPressure_Pa(altitude)).toThrow(outOfRange('altitude_m'))
    }
  })
})
