import type { PowerSource } from '../../contract/trace-reading.ts'
import type { RunChannels } from '../inputs/channels.ts'
import type { Session, SessionRun } from '../inputs/session.ts'
import { pick, type SweepSection } from '../inputs/sweep-section.ts'
import { rollerLossPower_W } from '../physics/coast-down.ts'
import { overallRatio_1 } from '../physics/gear.ts'
import { defaultWindow_samples } from '../physics/local-quadratic.ts'
import { power_W } from '../physics/power.ts'
import { rollerPower } from '../physics/roller.ts'
import { convert, toSI } from '../physics/units.ts'
import { coastDownResistance, type RollerBody } from './coast-down-loss.ts'

const RAD_PER_S_PER_RPM = convert(1, 'rpm', 'rad/s')

/** Power of each sample of a sweep, and what it was computed from. */
export interface DerivedPower {
  /** Power, one per sample of the sweep in the order recorded; null where nothing tells it. [W] */
  readonly power_W: Float64Array | null
  /** What it was computed from. */
  readonly source: PowerSource
  /**
   * Standard uncertainty of a sample by numerical differentiation; null unless from roller speed. [W] It is no term of the
   * budget: the scatter from run to run and the facility's repeatability hold it already, and it would count twice.
   */
  readonly differentiation_W: Float64Array | null
  /** Whether the loss of a recorded coast-down is in it. */
  readonly hasCoastDownLoss: boolean
}

/** A run with what its power may be computed from. */
export interface PowerInput {
  readonly run: SessionRun
  readonly session: Session
  readonly channels: RunChannels
  readonly section: SweepSection
}

const NO_POWER: DerivedPower = { power_W: null, source: 'none', differentiation_W: null, hasCoastDownLoss: false }

/**
 * The power of a run: as exported; else torque × engine speed; else axle torque through the gearing; else from the speed of
 * inertia rollers over time.
 *
 * @param input the run and its recording.
 * @returns power of the sweep, with its source. Pure; never throws: what cannot be told is null.
 *
 * Source: physics/power.ts and physics/roller.ts for the equations. Tested: tests/engine/evidence/wheel-power.test.ts.
 */
export function wheelPowerOf(input: PowerInput): DerivedPower {
  const { channels, section } = input
  if (channels.power_W !== null) {
    return { ...NO_POWER, power_W: pick(channels.power_W, section.samples), source: 'wheel-power' }
  }
  return fromTorque(input) ?? fromAxleTorque(input) ?? fromRollers(input) ?? NO_POWER
}

function engineSpeeds_rad_per_s({ channels, section }: PowerInput): Float64Array {
  return pick(channels.engineSpeed_rpm ?? new Float64Array(), section.samples).map((rpm) => rpm * RAD_PER_S_PER_RPM)
}

function fromTorque(input: PowerInput): DerivedPower | null {
  const { torque_Nm } = input.channels
  if (torque_Nm === null) return null
  const speeds = engineSpeeds_rad_per_s(input)
  const torque = pick(torque_Nm, input.section.samples)
  return { ...NO_POWER, power_W: torque.map((value, i) => power_W(value, speeds[i] ?? 0)), source: 'torque' }
}

/** Axle speed = engine speed over the reduction: needs the gearing and the gear. */
function fromAxleTorque(input: PowerInput): DerivedPower | null {
  const { axleTorque_Nm } = input.channels
  const { setup } = input.run
  const gearing = input.session.comparison.vehicles?.find(({ id }) => id === setup.vehicle)?.gearing
  if (axleTorque_Nm === null || gearing?.gears[(setup.gear ?? 0) - 1] === undefined) return null
  const ratio = overallRatio_1(gearing, setup.gear ?? 0)
  const speeds = engineSpeeds_rad_per_s(input)
  const torque = pick(axleTorque_Nm, input.section.samples)
  return {
    ...NO_POWER,
    power_W: torque.map((value, i) => power_W(value, (speeds[i] ?? 0) / ratio)),
    source: 'axle-torque',
  }
}

function fromRollers(input: PowerInput): DerivedPower | null {
  const { channels, section } = input
  const body = rollerBodyOf(input)
  if (channels.time_s === null || channels.rollerSpeed_m_per_s === null || body === null) return null

  const time_s = pick(channels.time_s, section.samples)
  const speed = pick(channels.rollerSpeed_m_per_s, section.samples).map((v) => v / body.radius_m)
  if (time_s.length < defaultWindow_samples || !isRising(time_s)) return null

  const resistance = coastDownResistance(channels, section, body)
  const { power_W: power, standardUncertainty_W } = rollerPower({
    time_s,
    rollerSpeed_rad_per_s: speed,
    inertia_kg_m2: body.inertia_kg_m2,
    ...(resistance === null ? {} : { lossPower_W: rollerLossPower_W(resistance, body.radius_m) }),
  })
  return {
    power_W: power,
    source: 'roller-speed',
    differentiation_W: standardUncertainty_W,
    hasCoastDownLoss: resistance !== null,
  }
}

/** Inertia and radius of the rollers; null where one is not recorded, or a brake takes part of the power. */
function rollerBodyOf({ run, session }: PowerInput): RollerBody | null {
  const rollers = session.comparison.facility?.rollers?.find(({ id }) => id === run.setup.rollers)
  const inertia = run.setup.sweep?.inertia ?? rollers?.inertia
  if (rollers?.kind !== 'inertia' || inertia === undefined || rollers.rollerRadius === undefined) return null
  const body = { inertia_kg_m2: toSI('inertia', inertia), radius_m: toSI('length', rollers.rollerRadius) }
  return body.inertia_kg_m2 > 0 && body.radius_m > 0 ? body : null
}

/** Whether every value lies above the one ahead of it. */
export function isRising(values: Float64Array): boolean {
  for (let i = 1; i < values.length; i++) if (!((values[i] ?? 0) > (values[i - 1] ?? 0))) return false
  return true
}
