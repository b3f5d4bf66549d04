import type { CellAir } from './air.ts'
import type { Slot } from './design.ts'
import type { Machine } from './machine.ts'

/** A fact and what the operator wrote down of it. */
export interface Told<T> {
  /** As it was. */
  readonly actual: T
  /** As it was written down. */
  readonly written: T
}

/** One run before its curve is drawn: what was set, what was measured around it, what went wrong with it. */
export interface RunState {
  /** Identity within the document. */
  readonly id: string
  /** Place in the design and time. */
  readonly slot: Slot
  /** Drift covariate; of a conditioning run that of the next measured one. [1] */
  readonly t: number
  /** Gear engaged. */
  readonly gear: Told<number>
  /** Drive-tyre pressure, gauge, cold. [Pa] */
  readonly tyrePressure_Pa: Told<number>
  /** Tension of each strap. [N] */
  readonly strapTension_N: Told<number>
  /** Air around the run. */
  readonly air: CellAir
  /** Coolant at the start. [K] */
  readonly coolant_K: number
  /** Oil at the start. [K] */
  readonly oil_K: number
  /** Share of power lost to heat. [1] */
  readonly heatLoss_1: number
  /** Share of power lost at the very top of the range to a starving engine; it begins at 92 % of the range. [1] */
  readonly starvation_1: number
  /** Rise of lambda that goes with it. [1] */
  readonly starvationLambda_1: number
  /** Standard deviation of a Gaussian smoothing the rig applied before export; 0 for none. [rpm] */
  readonly smoothing_rpm: number
  /** First and last engine speed. [rpm] */
  readonly from_rpm: number
  readonly to_rpm: number
}

/** Running temperature of the coolant. [K] */
const RUNNING_COOLANT_K = 361

/** Running temperature of the oil. [K] */
const RUNNING_OIL_K = 368

/** Scatter of the coolant and oil temperature at the start of a run. [K] */
const START_TEMPERATURE_SD_K = 0.7

/** How much colder the engine starts for each conditioning run that is still to come. [K] */
const WARMING_PER_RUN_K = 9

/** A run as an operator who keeps everything alike makes it. */
export function soundRun(
  id: string,
  slot: Slot,
  context: { readonly machine: Machine; readonly t: number; readonly air: CellAir; readonly normal: () => number },
): RunState {
  const { machine, t, air, normal } = context
  const missing_K = WARMING_PER_RUN_K * slot.conditioningLeft
  const same = <T>(value: T): Told<T> => ({ actual: value, written: value })
  return {
    id,
    slot,
    t,
    gear: same(machine.referenceGear),
    tyrePressure_Pa: same(machine.tyrePressure_Pa),
    strapTension_N: same(machine.strapTension_N),
    air,
    coolant_K: RUNNING_COOLANT_K - missing_K + START_TEMPERATURE_SD_K * normal(),
    oil_K: RUNNING_OIL_K - missing_K + START_TEMPERATURE_SD_K * normal(),
    heatLoss_1: 0,
    starvation_1: 0,
    starvationLambda_1: 0,
    smoothing_rpm: 0,
    from_rpm: machine.from_rpm,
    to_rpm: machine.to_rpm,
  }
}
