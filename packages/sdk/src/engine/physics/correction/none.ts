import type { CorrectionStandard } from './standard.ts'

/** No correction: the factor is 1 in any air. */
export const none = {
  id: 'none',
  title: 'uncorrected',
  ignition: 'any',
  pressure: 'none',
  reference: undefined,
  kelvinOffset_K: 273.15,
  pressureExponent_1: 0,
  temperatureExponent_1: 0,
  engineFactor_1: undefined,
  factor: () => 1,
  elasticity_1: () => 0,
  validity: {},
  basis: 'the figures as measured',
  status: 'found',
} as const satisfies CorrectionStandard
