import type { Channels, Conditions, Processing, Run, Setup } from '../../contract/index.ts'
import { mountingId } from './document-ids.ts'
import type { MeasuredRun } from './measured-run.ts'
import type { WholeRecipe } from './recipe.ts'
import type { RunState } from './run-state.ts'
import type { RunSamples } from './samples.ts'
import { timeOf } from './session-clock.ts'

/** Number the rig gives its first run of the session. */
const FIRST_COUNTER = 201

const ZERO_CELSIUS_K = 273.15

/** A run as it is written down. @param index place among all runs of the session, from 0. */
export function writtenRun({ state, curve, samples }: MeasuredRun, index: number, recipe: WholeRecipe): Run {
  const { slot } = state
  const factor = wrongFactor(state, curve?.factor_1 ?? 1, recipe)
  return {
    id: state.id,
    side: slot.side,
    mounting: mountingId(slot.mounting),
    purpose: slot.purpose,
    sequence: index + 1,
    counter: FIRST_COUNTER + index,
    startedAt: timeOf(slot),
    origin: 'recorded',
    setup: setupOf(state),
    conditions: conditionsOf(state),
    processing: processingOf(factor),
    ...(samples === null ? {} : { channels: channelsOf(samples, factor ?? 1, recipe) }),
  }
}

function setupOf(state: RunState): Setup {
  return {
    gear: state.gear.written,
    tyrePressure: { value: rounded(state.tyrePressure_Pa.written / 1000, 1), unit: 'kPa', state: 'set-cold' },
  }
}

/** What an operator reads off around a run. */
export function conditionsOf({ air, coolant_K, oil_K }: RunState): Conditions {
  const degC = (kelvin: number) => ({ value: rounded(kelvin - ZERO_CELSIUS_K, 1), unit: 'degC' }) as const
  return {
    stationPressure: { value: rounded(air.stationPressure_Pa / 1000, 2), unit: 'kPa' },
    cellAirTemperature: degC(air.cell_K),
    intakeAirTemperature: { ...degC(air.intake_K), place: 'outside-machine' },
    relativeHumidity: { value: rounded(100 * air.relativeHumidity_1, 0), unit: '%' },
    coolantTemperature: degC(coolant_K),
    oilTemperature: degC(oil_K),
  }
}

/** The factor in the figures; null when they are uncorrected, as they are unless factors go wrong in this session. */
function wrongFactor(state: RunState, factor_1: number, { faults }: WholeRecipe): number | null {
  const fault = faults.find((each) => each.kind === 'wrong-factor')
  if (fault === undefined) return null
  return rounded(state.slot.side === 'modified' ? factor_1 * (1 + fault.deviation_1) : factor_1, 4)
}

function processingOf(factor: number | null): Processing {
  const common = { measuredAt: 'wheel', smoothing: { kernel: 'none' } } as const
  if (factor === null) return { ...common, correction: 'none' }
  return { ...common, correction: 'un-r85', factor: { value: factor, resolution: 0.0001 } }
}

function channelsOf(samples: RunSamples, factor_1: number, { faults }: WholeRecipe): Channels {
  const column = (values: Float64Array, scale: number, digits: number) =>
    Array.from(values, (value) => rounded(value * scale, digits))
  const power: Channels = {
    engineSpeed: { unit: 'rpm', values: column(samples.speed_rpm, 1, 1) },
    wheelPower: { unit: 'kW', values: column(samples.power_W, factor_1 / 1000, 4) },
  }
  const { beside } = samples
  if (beside === null) return power
  const hasLambda = !faults.some((fault) => fault.kind === 'starvation' && !fault.hasLambda)
  return {
    ...power,
    time: { unit: 's', values: column(beside.time_s, 1, 3) },
    torque: { unit: 'N m', values: column(beside.torque_Nm, factor_1, 3) },
    rollerSpeed: { unit: 'km/h', values: column(beside.rollerSpeed_m_per_s, 3.6, 4) },
    throttle: { unit: '%', values: column(beside.throttle_percent, 1, 0) },
    ...(hasLambda
      ? { mixture: { unit: '1', as: 'lambda', probe: 'bung', values: column(beside.lambda_1, 1, 4) } as const }
      : {}),
  }
}

/** A number as an instrument prints it; never a negative zero. */
export function rounded(value: number, digits: number): number {
  const scale = 10 ** digits
  return Math.round(value * scale) / scale + 0
}
