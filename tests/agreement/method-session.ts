/** A comparison in the terms of the method's text, as `numpy/judge.py` reads it. */
import type { Claim, Comparison, RecordGroup, Run } from '@fairpull/sdk/contract'
import { convert, correctionFactor } from '@fairpull/sdk/engine'

/** What the other implementation is given: powers in hp as corrected, one list of samples a channel. */
export interface MethodSession {
  readonly runs: readonly Readonly<Record<string, unknown>>[]
  readonly record: Readonly<Record<string, unknown>> | null
  /** Values pooled over other facilities; null where there are none. */
  readonly network: Readonly<Record<string, unknown>> | null
  readonly claims: readonly Readonly<Record<string, unknown>>[]
  /** Whether a mounting lacks the conditioning runs that rule out a warm-up. */
  readonly short_of_pulls: boolean
}

/**
 * A comparison of the simulator for the other implementation.
 *
 * Corrected as the engine corrects, with the engine's own factors: the formulas of the standards have tests of their own. What the
 * counter, the intake air and the factor show is left out.
 */
export function methodSession(comparison: Comparison): MethodSession {
  const excluded = new Set(comparison.excluded?.map(({ run }) => run))
  const measured = comparison.runs
    .filter(({ purpose, channels }) => purpose === 'measured' && channels !== undefined)
    .toSorted((a, b) => (a.sequence ?? 0) - (b.sequence ?? 0))
  const factors = measured.filter(({ id }) => !excluded.has(id)).map(factorOf)
  const isCorrected = factors.every((factor) => factor !== null)
  return {
    runs: measured.map((run) => methodRun(run, comparison, isCorrected, !excluded.has(run.id))),
    record: methodRecord(comparison),
    network: methodNetwork(comparison),
    claims: (comparison.claims ?? []).map(methodClaim),
    short_of_pulls: isShortOfPulls(comparison),
  }
}

const ENOUGH_PULLS = 3

function isShortOfPulls({ runs }: Comparison): boolean {
  const pulls = (mounting: string | undefined) =>
    runs.filter((run) => run.mounting === mounting && run.purpose === 'conditioning').length
  return runs.some(({ purpose, mounting }) => purpose === 'measured' && pulls(mounting) < ENOUGH_PULLS)
}

/** UN Regulation No 85, as the simulator's comparisons ask for it; null where the air is not known. [1] */
function factorOf({ conditions }: Run): number | null {
  const { stationPressure, intakeAirTemperature, relativeHumidity } = conditions ?? {}
  if (stationPressure === undefined || intakeAirTemperature === undefined || relativeHumidity === undefined) return null
  const correction = correctionFactor('un-r85', {
    stationPressure_Pa: convert(stationPressure.value, stationPressure.unit, 'Pa'),
    airTemperature_K: convert(intakeAirTemperature.value, intakeAirTemperature.unit, 'K'),
    relativeHumidity_1: convert(relativeHumidity.value, relativeHumidity.unit, '1'),
  })
  return correction.kind === 'factor' ? correction.factor : null
}

function methodRun(run: Run, { mountings }: Comparison, isCorrected: boolean, used: boolean) {
  const factor = isCorrected ? factorOf(run) : null
  const { engineSpeed, wheelPower, rollerSpeed, mixture, throttle } = run.channels ?? {}
  const coolant = run.conditions?.coolantTemperature
  const at = run.startedAt ?? mountings?.find(({ id }) => id === run.mounting)?.at
  return {
    id: run.id,
    side: run.side === 'baseline' ? 0 : 1,
    mounting: run.mounting ?? null,
    day: at?.slice(0, 10) ?? null,
    start_s: run.startedAt === undefined ? null : Date.parse(run.startedAt) / 1000,
    factor,
    engine_speed: samples(engineSpeed, (value, unit) => convert(value, unit, 'rpm')),
    power: samples(wheelPower, (value, unit) => convert(value, unit, 'hp') * (factor ?? 1)),
    speed_kmh: samples(rollerSpeed, (value, unit) => convert(value, unit, 'km/h')),
    lambda: samples(mixture, (value) => value),
    throttle: samples(throttle, (value) => value),
    engine_c: coolant === undefined ? null : convert(coolant.value, coolant.unit, 'degC'),
    counter: run.counter ?? null,
    used,
  }
}

function samples<U>(
  channel: { readonly values?: unknown; readonly unit: U } | undefined,
  read: (value: number, unit: U) => number,
): readonly number[] | null {
  if (channel === undefined) return null
  if (!Array.isArray(channel.values)) throw new RangeError('samples are given as a list')
  return channel.values.map((value: number) => read(value, channel.unit))
}

function methodRecord({ facility }: Comparison): MethodSession['record'] {
  const record = facility?.record
  if (record === undefined) return null
  const { localNoise, drift, ambient } = record
  const [repeatability, remounting, day] = [record.repeatability, record.remounting, record.day].map(ownGroup)
  const members = {
    repeat_global_rel_sd: repeatability?.relativeSd,
    repeat_dof: repeatability?.degreesOfFreedom,
    repeat_local_rel_sd: localNoise?.relativeSd,
    local_corr_rpm: localNoise?.correlationLength?.value,
    mount_rel_sd: remounting?.relativeSd,
    mount_dof: remounting?.degreesOfFreedom,
    mount_shape_rel_sd: remounting === undefined ? undefined : record.remounting?.tiltRelativeSd,
    day_rel_sd: day?.relativeSd,
    day_dof: day?.degreesOfFreedom,
    drift_rel_sd_per_run: drift?.relativeSd,
    drift_dof: drift?.degreesOfFreedom,
    ambient_frac_sd: ambient?.relativeSd,
    ambient_dof: ambient?.degreesOfFreedom,
  }
  return present(members)
}

function methodNetwork({ facility }: Comparison): MethodSession['network'] {
  const { repeatability, remounting, day } = facility?.record ?? {}
  const network = present({
    ...(repeatability?.status === 'network'
      ? { repeat_global_rel_sd: repeatability.relativeSd, repeat_dof: repeatability.degreesOfFreedom }
      : {}),
    ...(remounting?.status === 'network'
      ? { mount_rel_sd: remounting.relativeSd, mount_dof: remounting.degreesOfFreedom }
      : {}),
    ...(day?.status === 'network' ? { day_rel_sd: day.relativeSd, day_dof: day.degreesOfFreedom } : {}),
  })
  return Object.keys(network).length === 0 ? null : network
}

/** A group that the facility itself measured or declared. */
function ownGroup(group: RecordGroup | undefined): RecordGroup | undefined {
  return group?.status === 'network' ? undefined : group
}

function present(members: Readonly<Record<string, unknown>>): Readonly<Record<string, unknown>> {
  return Object.fromEntries(Object.entries(members).filter(([, value]) => value !== undefined))
}

const RELATIONS = { 'at-least': 'at_least', 'at-most': 'at_most', 'equals-within': 'equals_within' } as const

/** A gain or tolerance in the unit of the method: %, hp or N m. */
function inMethodUnit({ value, unit }: Claim['gain']): number {
  switch (unit) {
    case '%':
      return value
    case 'N m':
    case 'lbf ft':
    case 'kgf m':
      return convert(value, unit, 'N m')
    default:
      return convert(value, unit, 'hp')
  }
}

function methodClaim({ id, quantity, over, relation, gain, tolerance }: Claim) {
  const asked = {
    id,
    type: RELATIONS[relation],
    unit: gain.unit === '%' ? '%' : null,
    x: inMethodUnit(gain),
    tol: tolerance === undefined ? null : inMethodUnit(tolerance),
  }
  if (over.kind === 'peak') return { ...asked, metric: quantity === 'wheel-torque' ? 'peak_torque' : 'peak_power' }
  if (over.kind === 'at-speed') return { ...asked, metric: 'at_rpm', rpm: over.speed.value }
  const range = { r1: over.from.value, r2: over.to.value }
  switch (over.kind) {
    case 'band-mean':
      return { ...asked, ...range, metric: 'band_mean' }
    case 'everywhere':
      return { ...asked, ...range, type: 'everywhere_at_least' }
    case 'anywhere':
      return { ...asked, ...range, type: 'up_to' }
    case 'no-loss':
      return { ...asked, ...range, type: 'no_loss', margin: -asked.x }
  }
}
