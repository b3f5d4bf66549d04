import { EngineError } from '../engine-error.ts'

/** Densities of petrol and ethanol at 15 °C. [kg/l] Public tables, weak. */
const petrolDensity_kg_per_l = 0.745
const ethanolDensity_kg_per_l = 0.789

/** Stoichiometric air-fuel ratio by mass of petrol and ethanol. [1] Public tables, weak. */
const petrolStoichiometric_1 = 14.7
const ethanolStoichiometric_1 = 9.0

/**
 * Excess-air factor.
 *
 * λ = AFR / stoichiometric AFR.
 *
 * @param airFuelRatio_1 air-fuel ratio by mass, as the probe's display prints it. [1], above 0
 * @param stoichiometricRatio_1 the ratio by which that display converts. [1], above 0
 * @returns lambda. [1]; below 1 is rich
 * @throws EngineError `ERR_OUT_OF_RANGE` when either is not above 0.
 *
 * A probe senses lambda; the ratio on the display rests on a fuel that its maker assumed. 12.5 is 0.850 on petrol and
 * 0.885 on E10, so the fuel must be recorded. Tested: tests/published/stoichiometry.test.ts.
 */
export function lambda_1(airFuelRatio_1: number, stoichiometricRatio_1: number): number {
  if (airFuelRatio_1 > 0 && stoichiometricRatio_1 > 0) return airFuelRatio_1 / stoichiometricRatio_1
  throw new EngineError('ERR_OUT_OF_RANGE', 'air-fuel ratios must be above 0', 'airFuelRatio_1')
}

/**
 * Stoichiometric air-fuel ratio of a blend of petrol and ethanol.
 *
 * Mass-weighted: (m_p 14.7 + m_e 9.0) / (m_p + m_e), masses from the volume shares and 0.745 and 0.789 kg/l.
 *
 * @param ethanolVolumeFraction_1 volume share of ethanol. [1], 0 to 1
 * @returns stoichiometric air-fuel ratio by mass. [1], 9.0 to 14.7
 * @throws EngineError `ERR_OUT_OF_RANGE` outside the interval.
 *
 * Uncertainty: 0.1; petrol varies by that much. Tested: tests/published/stoichiometry.test.ts.
 */
export function blendStoichiometricRatio_1(ethanolVolumeFraction_1: number): number {
  if (!(ethanolVolumeFraction_1 >= 0 && ethanolVolumeFraction_1 <= 1)) {
    const message = `ethanol share ${ethanolVolumeFraction_1} is not a fraction`
    throw new EngineError('ERR_OUT_OF_RANGE', message, 'ethanolVolumeFraction_1')
  }
  const ethanol = ethanolVolumeFraction_1 * ethanolDensity_kg_per_l
  const petrol = (1 - ethanolVolumeFraction_1) * petrolDensity_kg_per_l
  return (petrol * petrolStoichiometric_1 + ethanol * ethanolStoichiometric_1) / (petrol + ethanol)
}
