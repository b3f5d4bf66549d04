import type { CorrectionId } from '../../../contract/corrections.ts'
import { EngineError } from '../../engine-error.ts'
import { type AirState, celsiusZero_K, dryAirPressure_Pa } from '../air.ts'
import { correctionStandards } from './correction-standards.ts'
import type { CorrectionStandard, ValidityRange } from './standard.ts'

/** The air of a run, and what else a standard may ask of the engine. */
export interface CorrectionConditions extends AirState {
  /** Corrected fuel delivery qc, asked of compression-ignition engines only. [mg/(l cycle)], above 0 */
  readonly fuelDelivery_mg_per_l_cycle?: number
  /** How the engine ignites, where that is known: a standard for the other kind gives no factor. */
  readonly ignition?: 'spark' | 'compression'
  /** Whether boost control holds the charge whatever the ambient air: then a factor would correct twice. */
  readonly isBoostCompensated?: boolean
}

/** One limit of a standard's own range that the conditions lie beyond. */
export interface LeftBound {
  readonly quantity: 'factor' | 'temperature' | 'pressure'
  readonly side: 'below' | 'above'
  /** Rounded to 6 significant digits. [unit] */
  readonly observed: number
  /** [unit] */
  readonly limit: number
  readonly unit: '1' | 'K' | 'Pa'
}

/** A factor, and how far the standard itself stands behind it. */
export interface AppliedCorrection {
  readonly kind: 'factor'
  readonly standard: CorrectionId
  /** What measured power is multiplied by. [1] */
  readonly factor: number
  /** The pressure that entered, by the standard's own definition. [Pa] */
  readonly pressure_Pa: number
  /** Whether factor, temperature and pressure lie inside the standard's own range. */
  readonly isWithinStandard: boolean
  /** The limits that were left, empty when inside. */
  readonly left: readonly LeftBound[]
}

/**
 * Why there is no factor: the standard is for the other kind of ignition, boost control already compensates, or the fuel delivery
 * of a diesel is not known.
 */
export type CorrectionRefusal = 'other-ignition' | 'boost-compensated' | 'fuel-delivery-missing'

/** No factor: the figures stand uncorrected, and the result says why. */
export interface RefusedCorrection {
  readonly kind: 'refused'
  readonly standard: CorrectionId
  readonly reason: CorrectionRefusal
}

/** A factor with its standing, or the reason why there is none. */
export type Correction = AppliedCorrection | RefusedCorrection

/** What enters a factor, by the standard's own definitions. */
interface CorrectionTerms {
  readonly pressure_Pa: number
  /** T on the standard's own scale. [K] */
  readonly temperature_K: number
  readonly airFactor_1: number
  readonly engineFactor_1: number
}

function standardOf(id: CorrectionId): CorrectionStandard {
  if (Object.hasOwn(correctionStandards, id)) return correctionStandards[id]
  throw new EngineError('ERR_OUT_OF_RANGE', `${JSON.stringify(id)} is not a correction standard`, 'standard')
}

function refusal(standard: CorrectionStandard, conditions: CorrectionConditions): CorrectionRefusal | undefined {
  const { ignition = standard.ignition } = conditions
  if (standard.ignition !== 'any' && ignition !== standard.ignition) return 'other-ignition'
  if (standard.pressure !== 'none' && conditions.isBoostCompensated === true) return 'boost-compensated'
  const needsDelivery = standard.engineFactor_1 !== undefined
  return needsDelivery && conditions.fuelDelivery_mg_per_l_cycle === undefined ? 'fuel-delivery-missing' : undefined
}

function pressureOf(standard: CorrectionStandard, conditions: CorrectionConditions): number {
  if (standard.pressure === 'none') return conditions.stationPressure_Pa

  const dry_Pa = dryAirPressure_Pa(conditions)
  return standard.pressure === 'dry' ? dry_Pa : conditions.stationPressure_Pa
}

function correctionTerms(standard: CorrectionStandard, conditions: CorrectionConditions): CorrectionTerms {
  const pressure_Pa = pressureOf(standard, conditions)
  const temperature_K = conditions.airTemperature_K - celsiusZero_K + standard.kelvinOffset_K
  const { reference, pressureExponent_1: m, temperatureExponent_1: n } = standard
  const airFactor_1 =
    reference === undefined
      ? 1
      : (reference.pressure_Pa / pressure_Pa) ** m * (temperature_K / reference.temperature_K) ** n
  const delivery = conditions.fuelDelivery_mg_per_l_cycle
  const engineFactor_1 = delivery === undefined ? 1 : (standard.engineFactor_1?.(delivery) ?? 1)
  return { pressure_Pa, temperature_K, airFactor_1, engineFactor_1 }
}

type Observed = Pick<LeftBound, 'quantity' | 'observed' | 'unit'>

function leftBounds(range: ValidityRange | undefined, seen: Observed): readonly LeftBound[] {
  if (range === undefined) return []
  const observed = Number(seen.observed.toPrecision(6))
  const isInside = (distance: number) => distance > 0 || (range.includesLimits && distance === 0)
  if (!isInside(observed - range.lower)) return [{ ...seen, observed, side: 'below', limit: range.lower }]
  if (!isInside(range.upper - observed)) return [{ ...seen, observed, side: 'above', limit: range.upper }]
  return []
}

/**
 * The factor by which a standard multiplies measured power, and whether the standard itself stands behind it.
 *
 * The formula is the standard's own, see its file in this folder. Which pressure enters (dry or total) and what is added
 * to degrees Celsius (273 or 273.15) is part of the standard, not of the call.
 *
 * @param standard name of the standard.
 * @param conditions station pressure, temperature and humidity of the intake air; fuel delivery for compression
 *   ignition.
 * @returns the factor with the limits that were left (each number rounded to 6 digits before it meets its limit), or a
 *   refusal: `boost-compensated` where boost control already compensates, `fuel-delivery-missing` for a
 *   compression-ignition standard without it. A factor outside the range is still given: the relative gain stands, the
 *   figure is not "to the standard".
 * @throws EngineError `ERR_OUT_OF_RANGE` when the air is outside the intervals of `AirState` (`none` asks nothing of it),
 *   the fuel delivery is not above 0, or the standard is not in the list.
 *
 * Tested: tests/published/un-r85.test.ts and one file per standard.
 */
export function correctionFactor(standard: CorrectionId, conditions: CorrectionConditions): Correction {
  const entry = standardOf(standard)
  const reason = refusal(entry, conditions)
  if (reason !== undefined) return { kind: 'refused', standard, reason }

  const { pressure_Pa, airFactor_1, engineFactor_1 } = correctionTerms(entry, conditions)
  const factor = entry.factor(airFactor_1, engineFactor_1)
  const { validity } = entry
  const left = [
    ...leftBounds(validity.factor, { quantity: 'factor', observed: factor, unit: '1' }),
    ...leftBounds(validity.temperature_K, {
      quantity: 'temperature',
      observed: conditions.airTemperature_K,
      unit: 'K',
    }),
    ...leftBounds(validity.pressure_Pa, { quantity: 'pressure', observed: pressure_Pa, unit: 'Pa' }),
  ]
  return { kind: 'factor', standard, factor, pressure_Pa, isWithinStandard: left.length === 0, left }
}

/** How fast a factor moves with the air, relatively. */
export interface CorrectionSensitivity {
  /** d ln factor / d p, p by the standard's own definition. [1/Pa], at or below 0 */
  readonly perPascal: number
  /** d ln factor / d T. [1/K], at or above 0 */
  readonly perKelvin: number
}

/**
 * Relative sensitivity coefficients of a correction factor, for the uncertainty budget.
 *
 * d ln a / d p = -m k / p, d ln a / d T = n k / T, k = d ln a / d ln x.
 *
 * @param standard name of the standard.
 * @param conditions as for `correctionFactor`; a missing fuel delivery counts as an engine factor of 1.
 * @returns both coefficients; 0 for `none`.
 * @throws EngineError as `correctionFactor`.
 *
 * Source: differentiation of the standard's formula. Tested: tests/published/un-r85.test.ts.
 */
export function correctionSensitivity(standard: CorrectionId, conditions: CorrectionConditions): CorrectionSensitivity {
  const entry = standardOf(standard)
  const { pressure_Pa, temperature_K, airFactor_1, engineFactor_1 } = correctionTerms(entry, conditions)
  const k = entry.elasticity_1(airFactor_1, engineFactor_1)
  return {
    perPascal: (-entry.pressureExponent_1 * k) / pressure_Pa,
    perKelvin: (entry.temperatureExponent_1 * k) / temperature_K,
  }
}
