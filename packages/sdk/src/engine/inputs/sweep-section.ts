import { median } from '../numerics/median.ts'
import { sweepEnds } from '../statistics/sweep-curve.ts'

/** Where the sweep lies in a recording, and what lies outside it. Indexes refer to the samples as recorded. */
export interface SweepSection {
  /** Samples of the sweep, in the order they were recorded. */
  readonly samples: Uint32Array
  /** Samples recorded. */
  readonly recorded: number
  /** Samples ahead of the sweep: idle, roll-on, the fall to the speed at which full throttle begins. */
  readonly before: number
  /** Samples after its highest engine speed: throttle shut, clutch pulled, coasting. */
  readonly after: number
  /** Isolated samples whose engine speed is out of line with both neighbours; taken out first. */
  readonly spikes: number
  /** Samples whose time does not lie after that of the sample ahead; 0 without a time channel. */
  readonly repeatedTimes: number
  /** First sample after the sweep, where a coast-down may begin. */
  readonly end: number
}

/** An engine speed is a spike when it leaves the median of its neighbourhood by more than this. [rpm] Common practice, no source. */
const SPIKE_RPM = 250

/** Or by more than so many ordinary steps, where the recording is coarse. [1] Common practice, no source. */
const SPIKE_STEPS = 10

/** Samples on each side that make the neighbourhood. */
const SPIKE_REACH = 2

/**
 * The sweep in a recording: from the last minimum of engine speed before its first maximum, to that maximum.
 *
 * Spikes are taken out before, since one of them would else be the maximum. Samples that repeat an engine speed stay: the
 * curve averages them.
 *
 * @param engineSpeed_rpm samples in the order they were recorded. [rpm]
 * @param time_s time of each sample; null without the channel. [s]
 * @returns the section; it may be short or wavering, which is for the checks to say. Pure; never throws.
 *
 * Source: measurement-model §2 for the ends. Tested: tests/engine/evidence/sweep-section.test.ts.
 */
export function sweepSection(engineSpeed_rpm: Float64Array, time_s: Float64Array | null): SweepSection {
  const sound = soundSamples(engineSpeed_rpm)
  const speeds = pick(engineSpeed_rpm, sound)
  const { from, to } = sweepEnds(speeds)
  const samples = sound.slice(from, to + 1)
  return {
    samples,
    recorded: engineSpeed_rpm.length,
    before: from,
    after: sound.length - to - 1,
    spikes: engineSpeed_rpm.length - sound.length,
    repeatedTimes: time_s === null ? 0 : repeated(time_s),
    end: (sound[to] ?? engineSpeed_rpm.length - 1) + 1,
  }
}

/** Indexes of the samples that are no spikes. */
function soundSamples(speeds: Float64Array): Uint32Array {
  const all = new Uint32Array(speeds.length).map((_, i) => i)
  // No neighbourhood spans the least limit in a fine recording: no median need be looked for.
  if (2 * SPIKE_REACH * largestStep_rpm(speeds) <= SPIKE_RPM) return all
  const limit = spikeLimit_rpm(speeds)
  return all.filter((i) => !isSpike(speeds, i, limit))
}

function isSpike(speeds: Float64Array, i: number, limit_rpm: number): boolean {
  const from = Math.max(0, Math.min(i - SPIKE_REACH, speeds.length - 2 * SPIKE_REACH - 1))
  const to = Math.min(speeds.length, from + 2 * SPIKE_REACH + 1)
  if (to - from <= SPIKE_REACH) return false
  let [lowest, highest] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (let k = from; k < to; k++) {
    lowest = Math.min(lowest, speeds[k] ?? 0)
    highest = Math.max(highest, speeds[k] ?? 0)
  }
  // The median lies among its neighbours: where these are close together, nearly everywhere, it need not be looked for.
  return highest - lowest > limit_rpm && Math.abs((speeds[i] ?? 0) - middleOf(speeds.subarray(from, to))) > limit_rpm
}

function middleOf(few: Float64Array): number {
  return few.slice().sort()[few.length >> 1] ?? Number.NaN
}

function spikeLimit_rpm(speeds: Float64Array): number {
  if (speeds.length < 2) return SPIKE_RPM
  const steps = speeds.subarray(1).map((speed, i) => Math.abs(speed - (speeds[i] ?? 0)))
  return Math.max(SPIKE_RPM, SPIKE_STEPS * median(steps))
}

function largestStep_rpm(speeds: Float64Array): number {
  let largest = 0
  for (let i = 1; i < speeds.length; i++) largest = Math.max(largest, Math.abs((speeds[i] ?? 0) - (speeds[i - 1] ?? 0)))
  return largest
}

function repeated(time_s: Float64Array): number {
  let count = 0
  for (let i = 1; i < time_s.length; i++) if (!((time_s[i] ?? 0) > (time_s[i - 1] ?? 0))) count += 1
  return count
}

/** The values at the given samples. */
export function pick(values: Float64Array, samples: Uint32Array): Float64Array {
  const picked = new Float64Array(samples.length)
  for (let k = 0; k < samples.length; k++) picked[k] = values[samples[k] ?? -1] ?? Number.NaN
  return picked
}
