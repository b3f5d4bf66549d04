import { type CorrectionStandard, proportional } from './standard.ts'

/**
 * SAE J607, the trade's "STD". The standard is cancelled; figures by it are about 4 % above SAE J1349.
 *
 * cf = (29.92 / Pd) ((tF + 460) / 520)^0.5, Pd dry in inHg.
 *
 * Taken as the state it abbreviates: 101.325 kPa and 60 °F, which is 288.7056 K, T absolute. The rounded figures of
 * the formula as printed would move the factor by less than 1e-4.
 *
 * Source: from memory; no text read. Tested: tests/published/sae-j607.test.ts.
 */
export const saeJ607 = {
  id: 'sae-j607',
  title: 'SAE J607 ("STD")',
  ignition: 'spark',
  pressure: 'dry',
  reference: { pressure_Pa: 101_325, temperature_K: 519.67 / 1.8 },
  kelvinOffset_K: 273.15,
  pressureExponent_1: 1,
  temperatureExponent_1: 0.5,
  ...proportional,
  validity: {},
  basis: 'SAE J607, cancelled, no range of its own; applied to wheel power by convention',
  status: 'memory',
} as const satisfies CorrectionStandard
