import type { Mounting, Setup, TyrePressure } from '../../contract/mounting.ts'
import type { Run } from '../../contract/run.ts'
import { toSI } from '../physics/units.ts'

/** Gauge pressure of the drive tyre, in SI, with the state it was read in. */
export interface TyrePressureReading {
  /** Gauge pressure. [Pa] */
  readonly gaugePressure_Pa: number
  /** When it was read. */
  readonly state: TyrePressure['state']
  /** Tyre temperature at the reading; null when not recorded. [K] */
  readonly tyreTemperature_K: number | null
}

/**
 * The setup of a run: its own members, and those of its mounting where it has none.
 *
 * @param run the run.
 * @param mounting its mounting; undefined when the run names none.
 * @returns the merged setup, member by member. Pure; never throws.
 */
export function setupOf(run: Run, mounting: Mounting | undefined): Setup {
  return { ...mounting?.setup, ...run.setup }
}

/** The drive-tyre pressure of a setup in SI; null when it was not recorded. */
export function tyrePressureOf(setup: Setup): TyrePressureReading | null {
  if (setup.tyrePressure === undefined) return null

  const { value, unit, state, tyreTemperature } = setup.tyrePressure
  return {
    gaugePressure_Pa: toSI('pressure', { value, unit }),
    state,
    tyreTemperature_K: tyreTemperature === undefined ? null : toSI('temperature', tyreTemperature),
  }
}
