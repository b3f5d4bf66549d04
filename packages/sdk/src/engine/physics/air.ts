import { EngineError } from '../engine-error.ts'

/** Celsius zero on the Kelvin scale, by definition. [K] */
export const celsiusZero_K = 273.15

/** A closed interval in which a formula holds. */
export interface Range {
  readonly lower: number
  readonly upper: number
}

/** Range of the saturation formula over water: -45 to 60 degC. [K] WMO-No. 8, annex 4.B (range from memory). */
export const vapourFormulaRange_K: Range = { lower: 228.15, upper: 333.15 }

/** Absolute pressures at which a roller rig can stand, from a mountain pass to a deep low or high. [Pa] */
export const stationPressureRange_Pa: Range = { lower: 50_000, upper: 115_000 }

const relativeHumidityRange_1: Range = { lower: 0, upper: 1 }

/** Ratio of the molar masses of water vapour and dry air. [1] ASHRAE Fundamentals 2017, chapter 1. */
const molarMassRatio_1 = 0.621945

function requireWithin(value: number, range: Range, path: string, unit: string): void {
  if (value >= range.lower && value <= range.upper) return
  throw new EngineError(
    'ERR_OUT_OF_RANGE',
    `${value} ${unit} is outside ${range.lower} to ${range.upper} ${unit}`,
    path,
  )
}

function requireNotNegative(value: number, path: string): void {
  if (value >= 0 && value < Number.POSITIVE_INFINITY) return
  throw new EngineError('ERR_OUT_OF_RANGE', `${value} is not a finite number at or above 0`, path)
}

/**
 * Saturation vapour pressure over water, pure phase.
 *
 * ew(t) = 6.112 · exp(17.62 t / (243.12 + t)) hPa, with t in °C.
 *
 * @param temperature_K air temperature. [K], 228.15 to 333.15
 * @returns saturation vapour pressure. [Pa], above 0; rising with temperature
 * @throws EngineError `ERR_OUT_OF_RANGE` outside the interval; it never extrapolates.
 *
 * Uncertainty: within 0.35 % of IAPWS-IF97 from 5 to 30 °C; 0.3 % of 1 kPa moves a correction factor by 4e-5.
 * Source: WMO-No. 8 (2018), annex 4.B. Tested: tests/published/wmo-8.test.ts, water-vapour-elsewhere.test.ts.
 */
export function saturationVapourPressure_Pa(temperature_K: number): number {
  requireWithin(temperature_K, vapourFormulaRange_K, 'temperature_K', 'K')
  const t = temperature_K - celsiusZero_K
  return 611.2 * Math.exp((17.62 * t) / (243.12 + t))
}

/**
 * How much more vapour saturated moist air holds than the pure phase, at a given pressure.
 *
 * f(p) = 1.0016 + 3.15e-6 p - 0.074 / p, with p in hPa.
 *
 * @param stationPressure_Pa absolute air pressure. [Pa], 50 000 to 115 000
 * @returns enhancement factor. [1], slightly above 1
 * @throws EngineError `ERR_OUT_OF_RANGE` outside the interval.
 *
 * Source: WMO-No. 8 (2018), annex 4.B (constants from memory). Tested: tests/published/wmo-8.test.ts.
 */
export function enhancementFactor_1(stationPressure_Pa: number): number {
  requireWithin(stationPressure_Pa, stationPressureRange_Pa, 'stationPressure_Pa', 'Pa')
  const p = stationPressure_Pa / 100
  return 1.0016 + 3.15e-6 * p - 0.074 / p
}

/**
 * Partial pressure of water vapour in ambient air.
 *
 * e = RH · ew(t), the saturation vapour pressure over water, pure phase.
 *
 * @param airTemperature_K dry-bulb temperature. [K], 228.15 to 333.15; any above 0 where the humidity is 0
 * @param relativeHumidity_1 relative humidity as a fraction, not a percentage. [1], 0 to 1
 * @returns vapour pressure. [Pa], at or above 0
 * @throws EngineError `ERR_OUT_OF_RANGE` outside either interval; it never extrapolates.
 *
 * Assumes: humidity is reported over water, as hygrometers do, also below freezing. The enhancement factor is left out
 * (0.45 % of e), as the power-correction standards leave it out.
 * Source: WMO-No. 8 (2018), annex 4.B. Tested: tests/published/wmo-8.test.ts.
 */
export function vapourPressure_Pa(airTemperature_K: number, relativeHumidity_1: number): number {
  requireWithin(relativeHumidity_1, relativeHumidityRange_1, 'relativeHumidity_1', '(a fraction)')
  const isDry = relativeHumidity_1 === 0 && airTemperature_K > 0 && airTemperature_K < Number.POSITIVE_INFINITY
  if (isDry) return 0

  requireWithin(airTemperature_K, vapourFormulaRange_K, 'airTemperature_K', 'K')
  return relativeHumidity_1 * saturationVapourPressure_Pa(airTemperature_K)
}

/** The state of the air that an engine breathes. */
export interface AirState {
  /** Absolute pressure at the rig, not reduced to sea level. [Pa], 50 000 to 115 000 */
  readonly stationPressure_Pa: number
  /** Dry-bulb temperature. [K], 228.15 to 333.15 */
  readonly airTemperature_K: number
  /** Relative humidity as a fraction. [1], 0 to 1 */
  readonly relativeHumidity_1: number
}

/**
 * Partial pressure of the dry air, by which most correction standards work.
 *
 * pd = p - RH · ew(t).
 *
 * @param air station pressure, temperature and humidity.
 * @returns dry-air pressure. [Pa], at most the station pressure
 * @throws EngineError `ERR_OUT_OF_RANGE` outside the intervals of `AirState`.
 *
 * Source: Regulation (EU) No 134/2014, annex X (total minus vapour). Tested: tests/published/wmo-8.test.ts.
 */
export function dryAirPressure_Pa(air: AirState): number {
  requireWithin(air.stationPressure_Pa, stationPressureRange_Pa, 'stationPressure_Pa', 'Pa')
  return air.stationPressure_Pa - vapourPressure_Pa(air.airTemperature_K, air.relativeHumidity_1)
}

/**
 * Temperature at which air of a given vapour pressure is saturated over water.
 *
 * td = 243.12 ln(e / 6.112) / (17.62 - ln(e / 6.112)), with e in hPa and td in °C.
 *
 * @param vapourPressure_Pa partial pressure of water vapour. [Pa], above 0
 * @returns dew point. [K]
 * @throws EngineError `ERR_OUT_OF_RANGE` when the result would lie outside 228.15 to 333.15 K.
 *
 * Source: WMO-No. 8 (2018), annex 4.B. Tested: tests/published/wmo-8.test.ts.
 */
export function dewPoint_K(vapourPressure_Pa: number): number {
  requireNotNegative(vapourPressure_Pa, 'vapourPressure_Pa')
  const l = Math.log(vapourPressure_Pa / 611.2)
  const dewPoint = celsiusZero_K + (243.12 * l) / (17.62 - l)
  requireWithin(dewPoint, vapourFormulaRange_K, 'vapourPressure_Pa', 'K (dew point)')
  return dewPoint
}

/** What an aspirated wet-and-dry-bulb pair reads. */
export interface PsychrometerReading {
  /** Absolute pressure. [Pa], 50 000 to 115 000 */
  readonly stationPressure_Pa: number
  /** Dry bulb. [K], 228.15 to 333.15 */
  readonly airTemperature_K: number
  /** Wet bulb, wetted, not iced. [K], 228.15 up to the dry bulb */
  readonly wetBulbTemperature_K: number
}

/**
 * Partial pressure of water vapour from an aspirated psychrometer.
 *
 * e' = f(p) ew(tw) - 6.53e-4 (1 + 0.000944 tw) p (t - tw), with t and tw in °C.
 *
 * @param reading pressure, dry bulb and wet bulb.
 * @returns vapour pressure. [Pa], at or above 0
 * @throws EngineError `ERR_OUT_OF_RANGE` when the wet bulb is above the dry one, or so far below it that the vapour
 *   pressure would be negative, or outside the intervals of `PsychrometerReading`.
 *
 * Source: WMO-No. 8 (2018), annex 4.B (coefficients from memory). Tested: tests/published/wmo-8.test.ts.
 */
export function wetBulbVapourPressure_Pa(reading: PsychrometerReading): number {
  const { stationPressure_Pa, airTemperature_K, wetBulbTemperature_K } = reading
  requireWithin(airTemperature_K, vapourFormulaRange_K, 'airTemperature_K', 'K')
  const below = { lower: vapourFormulaRange_K.lower, upper: airTemperature_K }
  requireWithin(wetBulbTemperature_K, below, 'wetBulbTemperature_K', 'K')

  const saturated = enhancementFactor_1(stationPressure_Pa) * saturationVapourPressure_Pa(wetBulbTemperature_K)
  const tw = wetBulbTemperature_K - celsiusZero_K
  const depression = airTemperature_K - wetBulbTemperature_K
  const e = saturated - 6.53e-4 * (1 + 0.000944 * tw) * stationPressure_Pa * depression
  requireNotNegative(e, 'wetBulbTemperature_K')
  return e
}

/**
 * Relative humidity as an aspirated psychrometer shows it.
 *
 * RH = e' / (f(p) ew(t)).
 *
 * @param reading pressure, dry bulb and wet bulb.
 * @returns relative humidity. [1], 0 to 1
 * @throws EngineError as `wetBulbVapourPressure_Pa`.
 *
 * Source: WMO-No. 8 (2018), annex 4.B. Tested: tests/published/wmo-8.test.ts.
 */
export function wetBulbRelativeHumidity_1(reading: PsychrometerReading): number {
  const saturated =
    enhancementFactor_1(reading.stationPressure_Pa) * saturationVapourPressure_Pa(reading.airTemperature_K)
  return wetBulbVapourPressure_Pa(reading) / saturated
}

/**
 * Mass of water vapour carried by a mass of dry air.
 *
 * W = 0.621945 e / (p - e).
 *
 * @param vapourPressure_Pa partial pressure of water vapour. [Pa], 0 up to below the station pressure
 * @param stationPressure_Pa absolute pressure. [Pa], 50 000 to 115 000
 * @returns humidity ratio. [kg/kg], at or above 0
 * @throws EngineError `ERR_OUT_OF_RANGE` outside either interval.
 *
 * Source: ASHRAE Fundamentals 2017, chapter 1, eq. 20. Tested: tests/published/ashrae-fundamentals.test.ts.
 */
export function humidityRatio_kg_per_kg(vapourPressure_Pa: number, stationPressure_Pa: number): number {
  requireWithin(stationPressure_Pa, stationPressureRange_Pa, 'stationPressure_Pa', 'Pa')
  requireNotNegative(vapourPressure_Pa, 'vapourPressure_Pa')
  const dry = stationPressure_Pa - vapourPressure_Pa
  if (!(dry > 0))
    throw new EngineError('ERR_OUT_OF_RANGE', 'the vapour pressure exceeds the total', 'vapourPressure_Pa')
  return (molarMassRatio_1 * vapourPressure_Pa) / dry
}

/**
 * Partial pressure of water vapour that belongs to a humidity ratio.
 *
 * e = W p / (0.621945 + W), the inverse of `humidityRatio_kg_per_kg`.
 *
 * @param humidityRatio_kg_per_kg mass of vapour per mass of dry air. [kg/kg], at or above 0
 * @param stationPressure_Pa absolute pressure. [Pa], 50 000 to 115 000
 * @returns vapour pressure. [Pa], at or above 0 and below the station pressure
 * @throws EngineError `ERR_OUT_OF_RANGE` outside either interval.
 *
 * Source: ASHRAE Fundamentals 2017, chapter 1, eq. 20. Tested: tests/published/ashrae-fundamentals.test.ts.
 */
export function humidityRatioVapourPressure_Pa(humidityRatio_kg_per_kg: number, stationPressure_Pa: number): number {
  requireWithin(stationPressure_Pa, stationPressureRange_Pa, 'stationPressure_Pa', 'Pa')
  requireNotNegative(humidityRatio_kg_per_kg, 'humidityRatio_kg_per_kg')
  return (humidityRatio_kg_per_kg * stationPressure_Pa) / (molarMassRatio_1 + humidityRatio_kg_per_kg)
}
