import { type CorrectionId, correctionIds } from '../../../contract/corrections.ts'
import { EngineError } from '../../engine-error.ts'
import { type CorrectionConditions, correctionFactor } from './correction-factor.ts'

/** A factor as a printout shows it. */
export interface DeclaredFactor {
  /** [1], above 0 */
  readonly value: number
  /** One unit of its last printed digit; 0 when it is exact. [1], at or above 0 */
  readonly resolution: number
}

function requireFactor(factor: number, path: string): void {
  if (factor > 0 && factor < Number.POSITIVE_INFINITY) return
  throw new EngineError('ERR_OUT_OF_RANGE', `${factor} is not a factor above 0`, path)
}

/**
 * Power as it was before a factor was applied.
 *
 * P = P_corrected / factor.
 *
 * @param correctedPower_W power with the factor in it. [W]
 * @param appliedFactor_1 the factor that was applied. [1], above 0
 * @returns measured power. [W]
 * @throws EngineError `ERR_OUT_OF_RANGE` when the factor is not above 0.
 */
export function uncorrectedPower_W(correctedPower_W: number, appliedFactor_1: number): number {
  requireFactor(appliedFactor_1, 'appliedFactor_1')
  return correctedPower_W / appliedFactor_1
}

/**
 * The one number that takes declared power to another standard: undo, then redo.
 *
 * P' = P · wanted / applied.
 *
 * @param appliedFactor_1 the factor in the figures as declared. [1], above 0; 1 for uncorrected figures
 * @param wantedFactor_1 the factor of the standard that is reported. [1], above 0
 * @returns multiplier for the declared power. [1]; exactly 1 when both factors are the same
 * @throws EngineError `ERR_OUT_OF_RANGE` when either is not above 0.
 */
export function recorrection_1(appliedFactor_1: number, wantedFactor_1: number): number {
  requireFactor(appliedFactor_1, 'appliedFactor_1')
  requireFactor(wantedFactor_1, 'wantedFactor_1')
  return wantedFactor_1 / appliedFactor_1
}

/**
 * How far a declared factor lies from the recomputed one, beyond what rounding explains.
 *
 * max(0, |declared - ours| - resolution / 2) / ours.
 *
 * @param declared the printed factor with its resolution.
 * @param recomputed_1 the factor from the run's own conditions. [1], above 0
 * @returns relative deviation. [1], at or above 0; 0 when the printed digits agree
 * @throws EngineError `ERR_OUT_OF_RANGE` when a factor is not above 0.
 */
export function factorDeviation_1(declared: DeclaredFactor, recomputed_1: number): number {
  requireFactor(declared.value, 'declared')
  requireFactor(recomputed_1, 'recomputed_1')
  return Math.max(0, Math.abs(declared.value - recomputed_1) - declared.resolution / 2) / recomputed_1
}

/**
 * The standards whose factor a declared factor agrees with, to name the likely one when the declared standard does not.
 *
 * @param declared the printed factor with its resolution.
 * @param conditions of the run, as for `correctionFactor`.
 * @param allowance_1 largest relative deviation that still counts as agreement. [1]
 * @returns names in the order of the contract's list; empty when none agrees.
 * @throws EngineError as `correctionFactor`.
 */
export function agreeingStandards(
  declared: DeclaredFactor,
  conditions: CorrectionConditions,
  allowance_1: number,
): readonly CorrectionId[] {
  return correctionIds.filter((id) => {
    const correction = correctionFactor(id, conditions)
    return correction.kind === 'factor' && factorDeviation_1(declared, correction.factor) <= allowance_1
  })
}
