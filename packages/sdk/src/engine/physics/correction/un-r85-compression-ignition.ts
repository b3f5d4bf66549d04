import { compressionIgnition, compressionIgnitionFactorRange, engineFactor_1 } from './compression-ignition.ts'
import { type CorrectionStandard, closed } from './standard.ts'

const shared = {
  ...compressionIgnition,
  engineFactor_1: engineFactor_1({ lower_mg_per_l_cycle: 40, upper_mg_per_l_cycle: 65, below_1: 0.3, above_1: 1.2 }),
  validity: {
    factor: compressionIgnitionFactorRange,
    temperature_K: closed(283, 313, 'memory'),
    pressure_Pa: closed(80_000, 110_000, 'memory'),
  },
  status: 'memory',
} as const

/**
 * UN Regulation No. 85, compression ignition, naturally aspirated or mechanically supercharged.
 *
 * a = fa^fm, fa = (99 / ps) (T / 298)^0.7, ps dry in kPa, T absolute: t + 273.15.
 *
 * Source: UN Regulation No. 85, annex 5 (exponents, knees and test ranges from memory).
 * Tested: tests/published/un-r85.test.ts.
 */
export const unR85CiNatural = {
  ...shared,
  id: 'un-r85-ci-natural',
  title: 'UN R85, compression ignition, naturally aspirated',
  pressureExponent_1: 1,
  temperatureExponent_1: 0.7,
  basis: 'UN Regulation No. 85, annex 5, compression ignition; applied to wheel power by convention',
} as const satisfies CorrectionStandard

/**
 * UN Regulation No. 85, compression ignition, turbocharged, with or without charge-air cooling.
 *
 * a = fa^fm, fa = (99 / ps)^0.7 (T / 298)^1.5, ps dry in kPa, T absolute: t + 273.15.
 *
 * Source: UN Regulation No. 85, annex 5 (exponents, knees and test ranges from memory).
 * Tested: tests/published/un-r85.test.ts.
 */
export const unR85CiTurbocharged = {
  ...shared,
  id: 'un-r85-ci-turbocharged',
  title: 'UN R85, compression ignition, turbocharged',
  pressureExponent_1: 0.7,
  temperatureExponent_1: 1.5,
  basis: 'UN Regulation No. 85, annex 5, compression ignition; applied to wheel power by convention',
} as const satisfies CorrectionStandard
