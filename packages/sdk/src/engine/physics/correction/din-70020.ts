import { type CorrectionStandard, proportional } from './standard.ts'

/**
 * DIN 70020, spark ignition.
 *
 * k = (1013 / p) ((273 + t) / 293)^0.5, p total in mbar.
 *
 * p is the absolute pressure as the barometer shows it, not the dry one, so humidity does not enter. The text prints
 * 273 + t, so T is t + 273.
 *
 * Source: formula read on a public page; pressure definition and reference read in a page quoting the Automotive
 * Handbook, 4th edition. Tested: tests/published/din-70020.test.ts.
 */
export const din70020 = {
  id: 'din-70020',
  title: 'DIN 70020',
  ignition: 'spark',
  pressure: 'total',
  reference: { pressure_Pa: 101_300, temperature_K: 293 },
  kelvinOffset_K: 273,
  pressureExponent_1: 1,
  temperatureExponent_1: 0.5,
  ...proportional,
  validity: {},
  basis: 'DIN 70020, superseded, no range of its own; applied to wheel power by convention',
  status: 'found',
} as const satisfies CorrectionStandard
