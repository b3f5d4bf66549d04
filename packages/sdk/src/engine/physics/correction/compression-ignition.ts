import { EngineError } from '../../engine-error.ts'
import type { CorrectionStandard, Provenance, ValidityRange } from './standard.ts'

/** Where the engine factor stops following the fuel delivery. */
export interface EngineFactorKnees {
  /** Corrected fuel delivery at the lower and upper knee. [mg/(l cycle)] */
  readonly lower_mg_per_l_cycle: number
  readonly upper_mg_per_l_cycle: number
  /** Constant factor below and above. [1] */
  readonly below_1: number
  readonly above_1: number
}

/**
 * Engine factor of a compression-ignition engine.
 *
 * fm = 0.036 qc - 1.14 between the knees, constant outside.
 *
 * @param knees of the standard.
 * @returns the factor as a function of the corrected fuel delivery qc [mg/(l cycle)]; it throws EngineError
 *   `ERR_OUT_OF_RANGE` for a delivery that is not above 0.
 *
 * Source: formula read in an engine maker's service manual. Tested: tests/published/un-r85.test.ts, iso-1585.test.ts.
 */
export function engineFactor_1(knees: EngineFactorKnees): (fuelDelivery_mg_per_l_cycle: number) => number {
  return (qc) => {
    if (!(qc > 0)) {
      throw new EngineError('ERR_OUT_OF_RANGE', `fuel delivery ${qc} is not above 0`, 'fuelDelivery_mg_per_l_cycle')
    }
    if (qc < knees.lower_mg_per_l_cycle) return knees.below_1
    if (qc > knees.upper_mg_per_l_cycle) return knees.above_1
    return 0.036 * qc - 1.14
  }
}

/** Fuel flow of an engine at one point of its range. */
export interface FuelFlow {
  /** Mass flow. [g/s], above 0 */
  readonly fuelFlow_g_per_s: number
  /** Swept volume of all cylinders. [l], above 0 */
  readonly displacement_l: number
  /** [rpm], above 0 */
  readonly engineSpeed_rpm: number
  readonly cycle: 'four-stroke' | 'two-stroke'
  /** Absolute pressure after the compressor over that before it; 1 without one. [1], at or above 1 */
  readonly boostRatio_1: number
}

/**
 * Corrected fuel delivery per litre and cycle.
 *
 * qc = q / r, q = Z g / (V n), Z = 120 000 for four strokes, 60 000 for two.
 *
 * @param flow fuel flow, displacement, engine speed, cycle and boost ratio.
 * @returns qc. [mg/(l cycle)]
 * @throws EngineError `ERR_OUT_OF_RANGE` when a member is outside its interval.
 *
 * Source: Z = 120 000 read in an engine maker's service manual; 60 000 from memory.
 */
export function correctedFuelDelivery_mg_per_l_cycle(flow: FuelFlow): number {
  const { fuelFlow_g_per_s, displacement_l, engineSpeed_rpm, boostRatio_1 } = flow
  const isPositive = fuelFlow_g_per_s > 0 && displacement_l > 0 && engineSpeed_rpm > 0 && boostRatio_1 >= 1
  if (!isPositive)
    throw new EngineError('ERR_OUT_OF_RANGE', 'fuel flow members must be above 0, boost at least 1', 'flow')
  const z = flow.cycle === 'four-stroke' ? 120_000 : 60_000
  return (z * fuelFlow_g_per_s) / (displacement_l * engineSpeed_rpm) / boostRatio_1
}

/** What all compression-ignition standards share: a = fa^fm, 99 kPa dry, 298 K absolute. */
export const compressionIgnition = {
  ignition: 'compression',
  pressure: 'dry',
  reference: { pressure_Pa: 99_000, temperature_K: 298 },
  kelvinOffset_K: 273.15,
  factor: (fa: number, fm: number) => fa ** fm,
  elasticity_1: (_fa: number, fm: number) => fm,
} as const satisfies Partial<CorrectionStandard>

/** 0.9 to 1.1, the limit of the factor. Read in an engine maker's service manual. */
export const compressionIgnitionFactorRange: ValidityRange = {
  lower: 0.9,
  upper: 1.1,
  includesLimits: true,
  status: 'found' satisfies Provenance,
}
