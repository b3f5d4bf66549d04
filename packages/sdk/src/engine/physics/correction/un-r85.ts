import { type CorrectionStandard, closed, proportional } from './standard.ts'

/**
 * UN Regulation No. 85 and ISO 1585 form, spark ignition, naturally aspirated.
 *
 * a = (99 / ps)^1.2 (T / 298)^0.6, ps dry in kPa, T absolute.
 *
 * T is "the absolute temperature": t + 273.15. At 25 °C, thus 298.15 K, the factor is 1.0003 and not 1.
 * The text is written for the crankshaft of road vehicles and excludes motorcycles; for wheel power, and for
 * motorcycles, it is a convention of the trade and is named as such.
 *
 * Source: UN Regulation No. 85, annex 5 and ISO 1585 (exponents and limits from memory).
 * Tested: tests/published/un-r85.test.ts.
 */
export const unR85 = {
  id: 'un-r85',
  title: 'UN R85 / ISO 1585 form',
  ignition: 'spark',
  pressure: 'dry',
  reference: { pressure_Pa: 99_000, temperature_K: 298 },
  kelvinOffset_K: 273.15,
  pressureExponent_1: 1.2,
  temperatureExponent_1: 0.6,
  ...proportional,
  validity: {
    factor: closed(0.93, 1.07, 'memory'),
    temperature_K: closed(288, 308, 'memory'),
    pressure_Pa: closed(90_000, 110_000, 'memory'),
  },
  basis: 'UN Regulation No. 85, annex 5, spark ignition; applied to wheel power by convention',
  status: 'memory',
} as const satisfies CorrectionStandard
