/** What people do without a method: overlay two curves and read off the difference, or a textbook test on the runs. */
import type { Side } from '@fairpull/sdk/contract'
import { gaussianSmoothed, meanOver, type Truth } from '@fairpull/sdk/testing'

/** A band of engine speeds. */
export interface Band {
  readonly from_rpm: number
  readonly to_rpm: number
}

/** ln band means of the runs of a side, in order. */
export function levelsOf(truth: Truth, side: Side, band: Band): readonly number[] {
  return truth.runs
    .filter(({ state }) => state.slot.side === side)
    .map((run) => Math.log(meanOver(gaussianSmoothed(run), band)))
}

/** ln band means of both sides. */
export interface Levels {
  readonly baseline: readonly number[]
  readonly modified: readonly number[]
}

/** ln band means of both sides of a session. */
export function sidesOf(truth: Truth, band: Band): Levels {
  return { baseline: levelsOf(truth, 'baseline', band), modified: levelsOf(truth, 'modified', band) }
}

/** Gain of the best run of one side over the best run of the other. [%] */
export function bestAgainstBest_percent({ baseline, modified }: Levels): number {
  return 100 * Math.expm1(Math.max(...modified) - Math.max(...baseline))
}

/** Welch's comparison of two means, each run an independent value. */
export interface Welch {
  /** Difference of the means, of logarithms. */
  readonly difference: number
  /** Its standard error as Welch's test has it. */
  readonly standardUncertainty: number
  /** Degrees of freedom by Welch and Satterthwaite. */
  readonly degreesOfFreedom: number
}

/** Welch's comparison of the runs; null where a side has one run. */
export function welchOf({ baseline, modified }: Levels): Welch | null {
  const [a, b] = [momentsOf(baseline), momentsOf(modified)]
  if (a === null || b === null) return null
  const variance = a.ofMean + b.ofMean
  return {
    difference: b.mean - a.mean,
    standardUncertainty: Math.sqrt(variance),
    degreesOfFreedom: variance ** 2 / (a.ofMean ** 2 / (a.count - 1) + b.ofMean ** 2 / (b.count - 1)),
  }
}

function momentsOf(values: readonly number[]): { count: number; mean: number; ofMean: number } | null {
  const count = values.length
  if (count < 2) return null
  const mean = values.reduce((sum, value) => sum + value, 0) / count
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0)
  return { count, mean, ofMean: squares / (count - 1) / count }
}

/** Whether Welch's 95 % interval covers a true gain. [%] */
export function welchCovers(welch: Welch, gain_percent: number): boolean {
  const t = Math.abs(welch.difference - Math.log1p(gain_percent / 100)) / welch.standardUncertainty
  return studentTail(t, welch.degreesOfFreedom) >= 0.025
}

/** Whether a one-sided Welch test at 2.5 % supports a gain of at least so much. [%] */
export function welchSupports(welch: Welch | null, gain_percent: number): boolean {
  if (welch === null) return false
  const t = (welch.difference - Math.log1p(gain_percent / 100)) / welch.standardUncertainty
  return studentTail(t, welch.degreesOfFreedom) <= 0.025
}

/**
 * P(T > t) of Student's distribution, by Simpson's rule over its density in the angle: with t = sqrt(nu) tan(a) the density is
 * proportional to cos(a)^(nu - 1).
 */
export function studentTail(t: number, degreesOfFreedom: number): number {
  const density = (angle: number) => Math.cos(angle) ** (degreesOfFreedom - 1)
  const half = simpson(density, 0, Math.PI / 2)
  const reached = simpson(density, 0, Math.atan(Math.abs(t) / Math.sqrt(degreesOfFreedom)))
  const upper = 0.5 * (1 - reached / half)
  return t >= 0 ? upper : 1 - upper
}

const SIMPSON_STEPS = 400

function simpson(f: (x: number) => number, from: number, to: number): number {
  const step = (to - from) / SIMPSON_STEPS
  let sum = f(from) + f(to)
  for (let k = 1; k < SIMPSON_STEPS; k += 1) sum += f(from + k * step) * (k % 2 === 1 ? 4 : 2)
  return (sum * step) / 3
}
