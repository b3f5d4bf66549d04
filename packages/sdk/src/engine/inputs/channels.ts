import { readChannelValues } from '../../contract/channel-values.ts'
import type { ChannelValues, MixtureChannel, Run } from '../../contract/run.ts'
import type { QuantityKind, UnitOf } from '../../contract/units.ts'
import { EngineError } from '../engine-error.ts'
import { channelToSI, convert } from '../physics/units.ts'

/** The channels of a run, each read once into SI; null where not recorded. All have the same length. */
export interface RunChannels {
  /** Engine speed. [rpm], the unit of the method's grid */
  readonly engineSpeed_rpm: Float64Array | null
  /** Time since the start of the run. [s] */
  readonly time_s: Float64Array | null
  /** Power as exported. [W] */
  readonly power_W: Float64Array | null
  /** Torque as printed: power divided by engine angular speed. [N m] */
  readonly torque_Nm: Float64Array | null
  /** Torque at the driven axle. [N m] */
  readonly axleTorque_Nm: Float64Array | null
  /** Surface speed of the rollers. [m/s] */
  readonly rollerSpeed_m_per_s: Float64Array | null
  /** Relative air-fuel ratio. [1] */
  readonly lambda_1: Float64Array | null
  /** Throttle opening, any rising scale. [1] */
  readonly throttle_1: Float64Array | null
}

const RPM_PER_RAD_PER_S = convert(1, 'rad/s', 'rpm')

/**
 * The channels of a run in SI.
 *
 * @param run the run.
 * @returns the channels; null for a run that has none.
 * @throws EngineError when a channel cannot be read; `readComparison` finds that first.
 */
export function channelsOf(run: Run): RunChannels | null {
  const { channels } = run
  if (channels === undefined) return null

  const path = `runs/${run.id}/channels`
  return {
    engineSpeed_rpm: engineSpeed_rpm(channels.engineSpeed, path),
    time_s: column('time', channels.time, path),
    power_W: column('power', channels.wheelPower, path),
    torque_Nm: column('torque', channels.torque, path),
    axleTorque_Nm: column('torque', channels.axleTorque, path),
    rollerSpeed_m_per_s: column('speed', channels.rollerSpeed, path),
    lambda_1: lambda_1(channels.mixture, path),
    throttle_1: column('ratio', channels.throttle, path),
  }
}

function valuesOf(channel: ChannelValues, path: string): Float64Array {
  const outcome = readChannelValues(channel)
  if (!outcome.ok)
    throw new EngineError('ERR_OUT_OF_RANGE', outcome.problem.detail, `${path}${outcome.problem.pointer}`)
  return outcome.values
}

function column<K extends QuantityKind>(
  kind: K,
  channel: (ChannelValues & { readonly unit: UnitOf<K> }) | undefined,
  path: string,
): Float64Array | null {
  return channel === undefined ? null : channelToSI(kind, valuesOf(channel, path), channel.unit, path)
}

/** rpm stays rpm, bit for bit: the grid of the method is in rpm, and a detour through rad/s would move the last digit. */
function engineSpeed_rpm(
  channel: (ChannelValues & { readonly unit: UnitOf<'rotationalSpeed'> }) | undefined,
  path: string,
): Float64Array | null {
  if (channel === undefined) return null
  const values = valuesOf(channel, path)
  return channel.unit === 'rpm' ? values : values.map((speed) => speed * RPM_PER_RAD_PER_S)
}

/** An air-fuel ratio without its stoichiometric value says nothing about lambda, so it counts as not recorded. */
function lambda_1(channel: MixtureChannel | undefined, path: string): Float64Array | null {
  if (channel === undefined) return null
  const values = valuesOf(channel, path)
  if (channel.as === 'lambda') return values
  const { stoichiometric } = channel
  return stoichiometric === undefined ? null : values.map((ratio) => ratio / stoichiometric)
}
