import type { Conditions, Mounting } from '../../contract/mounting.ts'
import type { Run } from '../../contract/run.ts'
import type { Quantity, QuantityKind } from '../../contract/units.ts'
import { toSI } from '../physics/units.ts'

/** What was measured around a run, in SI; null where it was not recorded. */
export interface RunConditions {
  /** Absolute pressure at the rig. [Pa] */
  readonly stationPressure_Pa: number | null
  /** Air in the cell. [K] */
  readonly cellAir_K: number | null
  /** Intake air outside the machine. [K] */
  readonly intakeAirOutside_K: number | null
  /** Air inside the intake tract: shown, never matched or used for a correction. [K] */
  readonly intakeAirInside_K: number | null
  /** Relative humidity as a fraction. [1] */
  readonly relativeHumidity_1: number | null
  /** Coolant at the start of the run. [K] */
  readonly coolant_K: number | null
  /** Oil at the start of the run. [K] */
  readonly oil_K: number | null
}

/**
 * The conditions of a run: its own members, and those of its mounting where it has none.
 *
 * @param run the run.
 * @param mounting its mounting; undefined when the run names none.
 * @returns conditions in SI.
 * @throws EngineError when a unit is not one of its kind.
 */
export function conditionsOf(run: Run, mounting: Mounting | undefined): RunConditions {
  const merged: Conditions = { ...mounting?.conditions, ...run.conditions }
  const intake = merged.intakeAirTemperature
  const intake_K = intake === undefined ? null : toSI('temperature', { value: intake.value, unit: intake.unit })
  return {
    stationPressure_Pa: optional('pressure', merged.stationPressure),
    cellAir_K: optional('temperature', merged.cellAirTemperature),
    intakeAirOutside_K: intake?.place === 'outside-machine' ? intake_K : null,
    intakeAirInside_K: intake?.place === 'inside-tract' ? intake_K : null,
    relativeHumidity_1: optional('ratio', merged.relativeHumidity),
    coolant_K: optional('temperature', merged.coolantTemperature),
    oil_K: optional('temperature', merged.oilTemperature),
  }
}

/** Temperature that a correction takes: the intake air outside the machine, else the cell air. [K] */
export function correctionTemperature_K(conditions: RunConditions): number | null {
  return conditions.intakeAirOutside_K ?? conditions.cellAir_K
}

function optional<K extends QuantityKind>(kind: K, quantity: Quantity<K> | undefined): number | null {
  return quantity === undefined ? null : toSI(kind, quantity)
}
