import { type CorrectionStandard, open, proportional } from './standard.ts'

/**
 * Regulation (EU) No 134/2014, annex X, appendix 2.2: motorcycles, spark ignition.
 *
 * P0 = a1 a2 P with a1 = (99 / ps)^1.2 (T / 298)^0.6, ps dry in kPa, T absolute; a2 = 1 at the crankshaft.
 *
 * T is absolute: t + 273.15; the reference is stated as 298.2 K, the formula divides by 298. The transmission factor a2
 * is not applied: wheel power stays wheel power. Outside the range of a1 the regulation asks for the corrected value
 * and the exact test air in the report, which the summary prints.
 *
 * Source: annex X, appendix 2.2, points 3.2.2 (reference), 3.2.3.1 (temperature range); exponents and range of a1 from
 * memory. Tested: tests/published/eu-134-2014.test.ts.
 */
export const eu134 = {
  id: 'eu-134-2014',
  title: 'Regulation (EU) No 134/2014',
  ignition: 'spark',
  pressure: 'dry',
  reference: { pressure_Pa: 99_000, temperature_K: 298 },
  kelvinOffset_K: 273.15,
  pressureExponent_1: 1.2,
  temperatureExponent_1: 0.6,
  ...proportional,
  validity: {
    factor: open(0.93, 1.07, 'memory'),
    temperature_K: open(283.2, 318.2, 'found'),
  },
  basis: 'Regulation (EU) No 134/2014, annex X, appendix 2.2, point 3.2; applied to wheel power by convention',
  status: 'memory',
} as const satisfies CorrectionStandard
