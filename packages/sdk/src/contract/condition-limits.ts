/** Conditions that cannot be, whatever the weather: they show a wrong unit or a wrong kind of pressure. */
import { type ComparisonProblem, type FieldProblemCode, listed } from './field-problem.ts'
import type { Mounting } from './mounting.ts'
import type { Run } from './run.ts'
import { type Quantity, type UnitOf, units } from './units.ts'

/** Absolute zero in each unit of temperature. Source: SI Brochure (9th ed.) §2.3.4; NIST SP 811 B.8. */
export const absoluteZero: Readonly<Record<UnitOf<'temperature'>, number>> = { K: 0, degC: -273.15, degF: -459.67 }

/**
 * 30 kPa in each unit of pressure: the air at 9,000 m above sea level (ISO 2533: 30.8 kPa at 9,000 m). No rig stands
 * there, while a gauge pressure of the air is near 0. Rounded to the digits a message shows.
 */
export const lowestStationPressure: Readonly<Record<UnitOf<'pressure'>, number>> = {
  Pa: 30_000,
  hPa: 300,
  kPa: 30,
  mbar: 300,
  bar: 0.3,
  psi: 4.351,
  inHg: 8.859,
  mmHg: 225,
}

/**
 * Temperatures below absolute zero, pressures below 0, a gauge pressure in place of the station pressure, and a
 * relative humidity that is not between 0 and 100 %.
 *
 * @param part a run or a mounting of right shape
 * @param pointer where it stands. Pure; never throws.
 */
export function conditionProblems(part: Run | Mounting, pointer: string): readonly ComparisonProblem[] {
  const { setup, conditions } = part
  const at = `${pointer}/conditions`
  const tyre = setup?.tyrePressure
  return [
    ...negativePressure(tyre, `${pointer}/setup/tyrePressure`),
    ...tooCold(tyre?.tyreTemperature, `${pointer}/setup/tyrePressure/tyreTemperature`),
    ...stationPressureProblems(conditions?.stationPressure, `${at}/stationPressure`),
    ...tooCold(conditions?.cellAirTemperature, `${at}/cellAirTemperature`),
    ...tooCold(conditions?.intakeAirTemperature, `${at}/intakeAirTemperature`),
    ...humidityProblems(conditions?.relativeHumidity, `${at}/relativeHumidity`),
    ...tooCold(conditions?.coolantTemperature, `${at}/coolantTemperature`),
    ...tooCold(conditions?.oilTemperature, `${at}/oilTemperature`),
  ]
}

function refused(pointer: string, code: FieldProblemCode, detail: string): readonly ComparisonProblem[] {
  return [{ pointer: `${pointer}/value`, code, detail }]
}

function tooCold(temperature: Quantity<'temperature'> | undefined, pointer: string): readonly ComparisonProblem[] {
  if (temperature === undefined || temperature.value >= absoluteZero[temperature.unit]) return []
  const { value, unit } = temperature
  const zero = absoluteZero[unit]
  const detail = `${value} ${unit} is below absolute zero (${zero} ${unit}). Check the unit; allowed: ${listed(units.temperature)}.`
  return refused(pointer, 'ERR_BELOW_ABSOLUTE_ZERO', detail)
}

function negativePressure(pressure: Quantity<'pressure'> | undefined, pointer: string): readonly ComparisonProblem[] {
  if (pressure === undefined || pressure.value >= 0) return []
  const detail = `${pressure.value} ${pressure.unit} is below 0. Write the pressure as read, at or above 0.`
  return refused(pointer, 'ERR_NEGATIVE_PRESSURE', detail)
}

function stationPressureProblems(
  pressure: Quantity<'pressure'> | undefined,
  pointer: string,
): readonly ComparisonProblem[] {
  if (pressure === undefined || pressure.value >= lowestStationPressure[pressure.unit]) return []
  const { value, unit } = pressure
  const detail =
    `${value} ${unit} is below ${lowestStationPressure[unit]} ${unit}, and the air has that pressure at no rig. ` +
    'Station pressure is absolute, as a barometer beside the rig reads it (near 101 kPa at sea level), not gauge. ' +
    'Write the absolute pressure, and check the unit.'
  return refused(pointer, value < 0 ? 'ERR_NEGATIVE_PRESSURE' : 'ERR_GAUGE_PRESSURE', detail)
}

function humidityProblems(humidity: Quantity<'ratio'> | undefined, pointer: string): readonly ComparisonProblem[] {
  if (humidity === undefined) return []
  const { value, unit } = humidity
  const most = unit === '%' ? 100 : 1
  if (value >= 0 && value <= most) return []
  const isPercent = unit === '1' && value > 1 && value <= 100
  const remedy = isPercent
    ? `With unit "1" a humidity is a fraction, 0 to 1; write ${value} % as { "value": ${value}, "unit": "%" }.`
    : `A relative humidity is between 0 and ${most} with unit "${unit}"; correct it or leave it out.`
  return refused(pointer, 'ERR_HUMIDITY', `${value} is not a relative humidity in unit "${unit}". ${remedy}`)
}
