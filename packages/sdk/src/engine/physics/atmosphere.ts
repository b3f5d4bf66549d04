import { EngineError } from '../engine-error.ts'
import { standardGravity_m_per_s2 } from './units.ts'

/** Sea-level state and lapse rate of the standard atmosphere. ISO 2533:1975, table 1. */
const seaLevel = { pressure_Pa: 101_325, temperature_K: 288.15, lapseRate_K_per_m: 0.0065 } as const

/** g M / (R L), the exponent of the pressure in the lowest layer. [1] */
const pressureExponent_1 = 5.25588

/** Nominal radius of the earth that turns a height above sea level into geopotential. [m] ISO 2533:1975. */
const earthRadius_m = 6_356_766

const dryAirConstant_J_per_kg_K = 287.05

/** Altitudes at which a rig can stand, from below sea level to the highest roads. [m] */
export const altitudeRange_m = { lower: -500, upper: 6000 } as const

function requireAltitude(altitude_m: number): void {
  if (altitude_m >= altitudeRange_m.lower && altitude_m <= altitudeRange_m.upper) return
  const { lower, upper } = altitudeRange_m
  throw new EngineError('ERR_OUT_OF_RANGE', `${altitude_m} m is outside ${lower} to ${upper} m`, 'altitude_m')
}

/**
 * Temperature of the standard atmosphere.
 *
 * T = 288.15 - 0.0065 H.
 *
 * @param altitude_m geopotential altitude. [m], -500 to 6000
 * @returns temperature. [K]
 * @throws EngineError `ERR_OUT_OF_RANGE` outside the interval.
 *
 * Source: ISO 2533:1975. Tested: tests/published/ashrae-fundamentals.test.ts.
 */
export function standardTemperature_K(altitude_m: number): number {
  requireAltitude(altitude_m)
  return seaLevel.temperature_K - seaLevel.lapseRate_K_per_m * altitude_m
}

/**
 * Pressure of the standard atmosphere: what a barometer shows at that altitude on an ordinary day.
 *
 * p = 101325 (T / 288.15)^5.25588.
 *
 * @param altitude_m geopotential altitude; below 2 km within 1 m of the height above sea level. [m], -500 to 6000
 * @returns absolute pressure. [Pa]
 * @throws EngineError `ERR_OUT_OF_RANGE` outside the interval.
 *
 * Uncertainty: weather moves the true station pressure by up to about 4 % either way.
 * Source: ISO 2533:1975. Tested: tests/published/iso-2533.test.ts, ashrae-fundamentals.test.ts.
 */
export function standardPressure_Pa(altitude_m: number): number {
  return seaLevel.pressure_Pa * (standardTemperature_K(altitude_m) / seaLevel.temperature_K) ** pressureExponent_1
}

/**
 * Geopotential altitude that belongs to a height above sea level.
 *
 * H = r z / (r + z), r = 6 356 766 m.
 *
 * @param height_m geometric height above sea level. [m]
 * @returns geopotential altitude. [m]
 *
 * Pure; never throws. Source: ISO 2533:1975. Tested: tests/published/iso-2533.test.ts.
 */
export function geopotentialAltitude_m(height_m: number): number {
  return (earthRadius_m * height_m) / (earthRadius_m + height_m)
}

/** Where a barometer stands, and what it reads there. */
export interface StationReading {
  /** Absolute pressure at the rig. [Pa], above 0 */
  readonly stationPressure_Pa: number
  /** Altitude of the rig. [m], -500 to 6000 */
  readonly altitude_m: number
  /** Air temperature at the rig. [K], above 0 */
  readonly airTemperature_K: number
}

/**
 * Station pressure reduced to sea level, as a weather report prints it.
 *
 * p0 = p exp(g h / (Rd Tm)), Tm = T + 0.0065 h / 2, the mean temperature of the column of air.
 *
 * It serves to recognise the mistake: a sea-level pressure entered as station pressure is too high by this factor,
 * which is 6 % at 500 m and moves a spark-ignition correction by 7 %.
 *
 * @param reading pressure, altitude and temperature of the station.
 * @returns pressure reduced to sea level. [Pa], above the station pressure at altitudes above 0
 * @throws EngineError `ERR_OUT_OF_RANGE` when the altitude is outside -500 to 6000 m.
 *
 * Source: hydrostatic equation, ASHRAE Fundamentals form. Tested: tests/published/ashrae-fundamentals.test.ts.
 */
export function seaLevelPressure_Pa(reading: StationReading): number {
  requireAltitude(reading.altitude_m)
  const columnTemperature_K = reading.airTemperature_K + (seaLevel.lapseRate_K_per_m * reading.altitude_m) / 2
  const exponent = (standardGravity_m_per_s2 * reading.altitude_m) / (dryAirConstant_J_per_kg_K * columnTemperature_K)
  return reading.stationPressure_Pa * Math.exp(exponent)
}
