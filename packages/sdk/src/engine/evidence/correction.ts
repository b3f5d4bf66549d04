import type { CorrectionId } from '../../contract/corrections.ts'
import { correctionTemperature_K } from '../inputs/conditions.ts'
import { type Session, type SessionRun, vehicleOf } from '../inputs/session.ts'
import { stationPressureRange_Pa, vapourFormulaRange_K } from '../physics/air.ts'
import {
  type Correction,
  type CorrectionConditions,
  correctionFactor,
} from '../physics/correction/correction-factor.ts'
import { correctionStandards } from '../physics/correction/correction-standards.ts'
import { recorrection_1 } from '../physics/correction/declared-correction.ts'

/** What is known of one run's correction. */
export interface RunCorrection {
  /** The run. */
  readonly run: SessionRun
  /** The factor already in its figures: 1 for `none`, as printed, else recomputed; null when it cannot be told. [1] */
  readonly applied_1: number | null
  /** The declared standard's factor from the run's own conditions; null when they do not allow it. */
  readonly declared: Correction | null
  /** The factor of the standard that is reported; null when the conditions do not allow it. */
  readonly wanted: Correction | null
}

/** How the figures of all used runs are brought to one correction. */
export interface SessionCorrection {
  /** What the judged figures are; see `Gains.correction`. */
  readonly correction: CorrectionId | 'as-printed'
  /** Standard asked for. */
  readonly wanted: CorrectionId
  /** One entry per used run, in order. */
  readonly runs: readonly RunCorrection[]
  /** Multiplier from exported to judged power, one per used run. [1] */
  readonly toJudged: readonly number[]
  /** Multiplier from exported to uncorrected power, one per used run; null when it cannot be told. [1] */
  readonly toUncorrected: readonly number[] | null
  /** Factor by which the judged power was multiplied, one per used run; null where missing. [1] */
  readonly factors: readonly (number | null)[]
}

/**
 * How the used runs are brought to the standard that is reported.
 *
 * Corrected when every run's applied factor and conditions are known; else all runs uncorrected; else as printed.
 *
 * @param session the session.
 * @returns the correction of the session. Pure; never throws.
 *
 * Source: measurement-model §1, cf_i; the factor's formula is that of the standard.
 */
export function correctionOf(session: Session): SessionCorrection {
  const wanted = session.comparison.reportIn ?? 'un-r85'
  const runs = session.used.map((run): RunCorrection => {
    const declaredId = run.processing.correction ?? null
    const declared = declaredId === null ? null : appliedFactorFor(run, declaredId)
    return { run, applied_1: appliedFactor_1(run, declared), declared, wanted: factorFor(session, run, wanted) }
  })
  return { wanted, runs, ...judgedIn(wanted, runs) }
}

function judgedIn(wanted: CorrectionId, runs: readonly RunCorrection[]): Omit<SessionCorrection, 'wanted' | 'runs'> {
  const applied = runs.flatMap(({ applied_1 }) => applied_1 ?? [])
  const factors = runs.flatMap((run) => factorOf(run.wanted) ?? [])
  const missing = runs.map(() => null)
  const ones = runs.map(() => 1)
  if (runs.length === 0 || applied.length < runs.length) {
    return { correction: 'as-printed', toJudged: ones, toUncorrected: null, factors: missing }
  }
  const toUncorrected = applied.map((factor) => 1 / factor)
  if (factors.length < runs.length)
    return { correction: 'none', toJudged: toUncorrected, toUncorrected, factors: missing }
  const toJudged = applied.map((factor, index) => recorrection_1(factor, factors[index] ?? Number.NaN))
  return { correction: wanted, toJudged, toUncorrected, factors }
}

/** The factor of a correction; null when there is none. [1] */
export function factorOf(correction: Correction | null): number | null {
  return correction?.kind === 'factor' ? correction.factor : null
}

function appliedFactor_1({ processing }: SessionRun, declared: Correction | null): number | null {
  if (processing.correction === undefined) return null
  if (processing.correction === 'none') return 1
  return processing.factor?.value ?? factorOf(declared)
}

/**
 * The factor of a standard that a figure may be reported in, from the run's own conditions; null when one is missing or outside
 * every formula.
 *
 * Refused for an engine of the other kind of ignition, and for a boosted engine with spark ignition, whose boost control may hold the charge whatever the air: a factor would
 * count the air twice. The standards for compression ignition are written for boosted engines, too.
 */
export function factorFor(session: Session, run: SessionRun, standard: CorrectionId): Correction | null {
  const air = airOf(run, standard)
  if (air === null) return null
  const engine = vehicleOf(session, run)?.engine
  if (engine === undefined) return correctionFactor(standard, air)
  const { ignition, aspiration } = engine
  const isBoostCompensated = aspiration === 'boosted' && ignition === 'spark'
  return correctionFactor(standard, { ...air, ignition, isBoostCompensated })
}

/** The factor that software applies which knows the air alone, not the engine: what can be undone, and how far two airs differ. */
export function appliedFactorFor(run: SessionRun, standard: CorrectionId): Correction | null {
  const air = airOf(run, standard)
  return air === null ? null : correctionFactor(standard, air)
}

function airOf({ conditions }: SessionRun, standard: CorrectionId): CorrectionConditions | null {
  const { pressure } = correctionStandards[standard]
  const stationPressure_Pa = conditions.stationPressure_Pa
  const airTemperature_K = correctionTemperature_K(conditions)
  const relativeHumidity_1 = pressure === 'dry' ? conditions.relativeHumidity_1 : (conditions.relativeHumidity_1 ?? 0)
  if (pressure === 'none') return { stationPressure_Pa: 0, airTemperature_K: 0, relativeHumidity_1: 0 }
  if (stationPressure_Pa === null || airTemperature_K === null || relativeHumidity_1 === null) return null

  const isUsable =
    isWithin(stationPressure_Pa, stationPressureRange_Pa) &&
    isWithin(airTemperature_K, vapourFormulaRange_K) &&
    isWithin(relativeHumidity_1, { lower: 0, upper: 1 })
  return isUsable ? { stationPressure_Pa, airTemperature_K, relativeHumidity_1 } : null
}

function isWithin(value: number, range: { readonly lower: number; readonly upper: number }): boolean {
  return value >= range.lower && value <= range.upper
}
