import { type CorrectionStandard, closed } from './standard.ts'

/** 1 / 0.85 and 0.15 / 0.85, the mechanical efficiency of the standard, rounded as the standard prints them. [1] */
const brakeGain_1 = 1.18
const frictionShare_1 = 0.18

/**
 * SAE J1349, revision of June 1990, spark ignition.
 *
 * cf = 1.180 [(990 / Pd) ((Tc + 273) / 298)^0.5] - 0.18, Pd dry in hPa.
 *
 * The text prints Tc + 273, so T is t + 273: at 25 °C and 990 hPa the factor is exactly 1. The printed 1.180 and 0.18
 * are used, not 1/0.85 and 0.15/0.85, which differ by up to 5e-4 at 1.13.
 *
 * Source: formula read in a public text that quotes SAE J1349 (Jun 90); limits from memory.
 * Tested: tests/published/sae-j1349.test.ts.
 */
export const saeJ1349 = {
  id: 'sae-j1349-jun90',
  title: 'SAE J1349 (Jun 90)',
  ignition: 'spark',
  pressure: 'dry',
  reference: { pressure_Pa: 99_000, temperature_K: 298 },
  kelvinOffset_K: 273,
  pressureExponent_1: 1,
  temperatureExponent_1: 0.5,
  engineFactor_1: undefined,
  factor: (x: number) => brakeGain_1 * x - frictionShare_1,
  elasticity_1: (x: number) => (brakeGain_1 * x) / (brakeGain_1 * x - frictionShare_1),
  validity: {
    factor: closed(0.93, 1.07, 'memory'),
    temperature_K: closed(288.15, 308.15, 'memory'),
    pressure_Pa: closed(90_000, 105_000, 'memory'),
  },
  basis: 'SAE J1349 (Jun 90); applied to wheel power by convention',
  status: 'found',
} as const satisfies CorrectionStandard
