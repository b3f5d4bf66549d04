import { compressionIgnition, compressionIgnitionFactorRange, engineFactor_1 } from './compression-ignition.ts'
import type { CorrectionStandard } from './standard.ts'

const shared = {
  ...compressionIgnition,
  engineFactor_1: engineFactor_1({ lower_mg_per_l_cycle: 37.2, upper_mg_per_l_cycle: 65, below_1: 0.2, above_1: 1.2 }),
  validity: { factor: compressionIgnitionFactorRange },
  basis: 'ISO 1585, compression ignition; applied to wheel power by convention',
  status: 'memory',
} as const

/**
 * ISO 1585, compression ignition, naturally aspirated or mechanically supercharged.
 *
 * a = fa^fm, fa = (99 / ps) (T / 298)^0.7, ps dry in kPa, T absolute: t + 273.15.
 *
 * Source: form and knees read in an engine maker's service manual; exponents from memory.
 * Tested: tests/published/iso-1585.test.ts.
 */
export const iso1585CiNatural = {
  ...shared,
  id: 'iso-1585-ci-natural',
  title: 'ISO 1585, compression ignition, naturally aspirated',
  pressureExponent_1: 1,
  temperatureExponent_1: 0.7,
} as const satisfies CorrectionStandard

/**
 * ISO 1585, compression ignition, turbocharged without cooler or with air-to-air charge cooling.
 *
 * a = fa^fm, fa = (99 / ps)^0.7 (T / 298)^1.2, ps dry in kPa, T absolute: t + 273.15.
 *
 * Source: knees read in an engine maker's service manual; exponents from memory.
 * Tested: tests/published/iso-1585.test.ts.
 */
export const iso1585CiTurbochargedAir = {
  ...shared,
  id: 'iso-1585-ci-turbocharged-air',
  title: 'ISO 1585, compression ignition, turbocharged, air-cooled charge',
  pressureExponent_1: 0.7,
  temperatureExponent_1: 1.2,
} as const satisfies CorrectionStandard

/**
 * ISO 1585, compression ignition, turbocharged with liquid-cooled charge.
 *
 * a = fa^fm, fa = (99 / ps)^0.7 (T / 298)^0.7, ps dry in kPa, T absolute: t + 273.15.
 *
 * Source: knees read in an engine maker's service manual; exponents from memory.
 * Tested: tests/published/iso-1585.test.ts.
 */
export const iso1585CiTurbochargedLiquid = {
  ...shared,
  id: 'iso-1585-ci-turbocharged-liquid',
  title: 'ISO 1585, compression ignition, turbocharged, liquid-cooled charge',
  pressureExponent_1: 0.7,
  temperatureExponent_1: 0.7,
} as const satisfies CorrectionStandard
