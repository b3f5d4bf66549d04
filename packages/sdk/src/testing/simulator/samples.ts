import { EngineError } from '../../engine/engine-error.ts'
import type { Random } from '../random.ts'
import { type CurveContext, type RunCurve, starvationShare_1 } from './curve.ts'
import { NOISE_GRID_RPM } from './noise.ts'
import { type RatioNoise, rollerSpeed_m_per_s, sweepTimes_s } from './rollers.ts'
import type { RunState } from './run-state.ts'

/** How a sweep is sampled. */
export type Sampling =
  /** At equal steps of engine speed. */
  | { readonly by: 'speed'; readonly step_rpm: number }
  /** At equal steps of time, as an instrument records. */
  | { readonly by: 'time'; readonly rate_Hz: number }

/** Member that holds the size of a step, by the way of sampling. */
const SIZE_MEMBERS: ReadonlyMap<string, string> = new Map([
  ['speed', 'step_rpm'],
  ['time', 'rate_Hz'],
])

/**
 * Refuses a sampling that does not get on: without a step above 0 the simulated sweep would never end.
 *
 * @throws EngineError `ERR_OUT_OF_RANGE` for a way that is none, and for a step or rate that is not above 0 and finite.
 */
export function requireSampling(sampling: Sampling): void {
  const member = SIZE_MEMBERS.get(sampling.by)
  if (member === undefined) {
    throw new EngineError(
      'ERR_OUT_OF_RANGE',
      `sweeps are not sampled by ${JSON.stringify(sampling.by)}; use ${[...SIZE_MEMBERS.keys()].join(', ')}`,
      'sampling.by',
    )
  }
  const size = new Map<string, unknown>(Object.entries(sampling)).get(member)
  if (typeof size === 'number' && Number.isFinite(size) && size > 0) return
  throw new EngineError(
    'ERR_OUT_OF_RANGE',
    `sampling by ${sampling.by} needs a finite ${member} above 0, not ${String(size)}`,
    `sampling.${member}`,
  )
}

/** What sampling needs to know of the session. */
export interface SamplingContext extends CurveContext {
  readonly sampling: Sampling
  readonly channels: 'all' | 'power-only'
}

/** The columns of one run, one value per sample, in the units of their names. */
export interface RunSamples {
  readonly speed_rpm: Float64Array
  readonly power_W: Float64Array
  /** What a full instrument records beside; null where it was not asked for. */
  readonly beside: SamplesBeside | null
}

/** Columns beside engine speed and power. */
export interface SamplesBeside {
  readonly time_s: Float64Array
  readonly torque_Nm: Float64Array
  readonly rollerSpeed_m_per_s: Float64Array
  readonly lambda_1: Float64Array
  readonly throttle_percent: Float64Array
}

/** Scatter of the speed ratio: between mountings, between runs, between samples. Assumed, no source. [1] */
const RATIO_SD = {
  interceptMounting: 0.0011,
  interceptRun: 0.0008,
  slopeMounting: 0.003,
  slopeRun: 0.0022,
  sample: 0.0003,
}

/** Scatter of lambda from sample to sample. [1] */
const LAMBDA_SAMPLE_SD = 0.005

/**
 * The columns of a run as its rig records them.
 *
 * @param curve what the run drew, on the grid.
 * @param run its state.
 * @param index number of the run in the session.
 */
export function samplesOf(curve: RunCurve, run: RunState, index: number, context: SamplingContext): RunSamples {
  const random = context.random.fork(`samples ${index}`)
  const ratio = ratioNoise(run, index, context.random)
  const speed_rpm = sampledSpeeds_rpm(curve, run, ratio, context)
  const measured_W = speed_rpm.map((speed) => at(curve, speed) * (1 + context.noise.sizes.sample_1 * random.normal()))
  const power_W = smoothed(measured_W, speed_rpm, run.smoothing_rpm)
  if (context.channels === 'power-only') return { speed_rpm, power_W, beside: null }
  const rollerSpeed = speed_rpm.map((speed, k) => {
    const exact = rollerSpeed_m_per_s(context.machine, run, {
      speed_rpm: speed,
      power_W: measured_W[k] ?? 0,
      noise: ratio,
    })
    return exact * (1 + RATIO_SD.sample * random.normal())
  })
  const beside = {
    time_s: timesOf(speed_rpm, rollerSpeed, measured_W, context),
    torque_Nm: power_W.map((power, k) => power / (((speed_rpm[k] ?? Number.NaN) * Math.PI) / 30)),
    rollerSpeed_m_per_s: rollerSpeed,
    lambda_1: speed_rpm.map((speed) => lambdaAt(run, speed, context) + LAMBDA_SAMPLE_SD * random.normal()),
    throttle_percent: speed_rpm.map(() => 100),
  }
  return { speed_rpm, power_W, beside }
}

/** What a rig exports that smooths: Gaussian weights over engine speed, after every noise of the measurement. */
function smoothed(values: Float64Array, speed_rpm: Float64Array, sd_rpm: number): Float64Array {
  if (sd_rpm === 0) return values
  return values.map((_, k) => {
    let sum = 0
    let weights = 0
    for (const [j, speed] of speed_rpm.entries()) {
      const weight = Math.exp(-(((speed - (speed_rpm[k] ?? Number.NaN)) / sd_rpm) ** 2 / 2))
      sum += weight * (values[j] ?? 0)
      weights += weight
    }
    return sum / weights
  })
}

function ratioNoise(run: RunState, index: number, random: Random): RatioNoise {
  const mounting = random.fork(`ratio of mounting ${run.slot.mounting}`)
  const own = random.fork(`ratio ${index}`)
  return {
    intercept: RATIO_SD.interceptMounting * mounting.normal() + RATIO_SD.interceptRun * own.normal(),
    slope: RATIO_SD.slopeMounting * mounting.normal() + RATIO_SD.slopeRun * own.normal(),
  }
}

function sampledSpeeds_rpm(curve: RunCurve, run: RunState, noise: RatioNoise, context: SamplingContext): Float64Array {
  const { sampling } = context
  if (sampling.by === 'speed') {
    const count = Math.floor((run.to_rpm - run.from_rpm) / sampling.step_rpm) + 1
    return Float64Array.from({ length: count }, (_, k) => run.from_rpm + k * sampling.step_rpm)
  }
  const rollers = curve.speed_rpm.map((speed_rpm, k) =>
    rollerSpeed_m_per_s(context.machine, run, { speed_rpm, power_W: curve.power_W[k] ?? 0, noise }),
  )
  const reached_s = sweepTimes_s(context.machine, rollers, curve.power_W)
  const inside = Array.from(curve.speed_rpm, (speed_rpm, k) => ({ speed_rpm, time_s: reached_s[k] ?? 0 })).filter(
    ({ speed_rpm }) => speed_rpm >= run.from_rpm && speed_rpm <= run.to_rpm,
  )
  return speedsAtEqualTimes_rpm(inside, sampling.rate_Hz)
}

function speedsAtEqualTimes_rpm(
  sweep: readonly { readonly speed_rpm: number; readonly time_s: number }[],
  rate_Hz: number,
): Float64Array {
  const speeds: number[] = []
  const start_s = sweep[0]?.time_s ?? 0
  let k = 1
  for (let sample = 0; k < sweep.length; ) {
    const [before, after] = [sweep[k - 1], sweep[k]]
    if (before === undefined || after === undefined) break
    const time_s = start_s + sample / rate_Hz
    if (time_s > after.time_s) {
      k += 1
      continue
    }
    const share = (time_s - before.time_s) / (after.time_s - before.time_s)
    speeds.push(before.speed_rpm + share * (after.speed_rpm - before.speed_rpm))
    sample += 1
  }
  return Float64Array.from(speeds)
}

function timesOf(
  speed_rpm: Float64Array,
  rollerSpeed: Float64Array,
  power_W: Float64Array,
  { sampling, machine }: SamplingContext,
): Float64Array {
  if (sampling.by === 'time') return speed_rpm.map((_, k) => k / sampling.rate_Hz)
  return sweepTimes_s(machine, rollerSpeed, power_W)
}

/** Lambda over the range: full load rich, richest in the middle, leaner where the engine starves. [1] */
function lambdaAt(run: RunState, speed_rpm: number, { machine }: CurveContext): number {
  const share = (speed_rpm - machine.from_rpm) / (machine.to_rpm - machine.from_rpm)
  return 0.86 + 0.04 * (2 * share - 1) ** 2 + run.starvationLambda_1 * starvationShare_1(share)
}

/** Power at an engine speed, linear between the points of the grid. [W] */
function at({ speed_rpm, power_W }: RunCurve, speed: number): number {
  const place = (speed - (speed_rpm[0] ?? 0)) / NOISE_GRID_RPM
  const k = Math.min(Math.max(0, Math.floor(place)), power_W.length - 2)
  const [before, after] = [power_W[k] ?? Number.NaN, power_W[k + 1] ?? Number.NaN]
  return before + (place - k) * (after - before)
}
