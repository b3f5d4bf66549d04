import { gaussianKernel, smoothed } from '../../numerics/gaussian-smooth.ts'
import { GRID_RPM } from '../grid.ts'

/** How steady and how rich the mixture of one run is. */
export interface MixtureFigures {
  /** Root mean square of lambda about its own smooth course. [1] */
  readonly dispersion: number
  /** Whether 300 rpm on end lie above lambda 0.95: marginal, and a caution. */
  readonly isLean: boolean
  /** Whether 300 rpm on end lie above lambda 1.00: breached. */
  readonly isTooLean: boolean
}

/** Lambda above which a naturally aspirated petrol engine is lean, and too lean, at full load. [1] Source: measurement-model §8. */
const LEAN = { caution: 0.95, breach: 1 } as const

/** So many grid points on end: 300 rpm. */
const EXCURSION_POINTS = 7

/** Width of the smooth course. [rpm] */
const COURSE_SD_RPM = 500

/**
 * Steadiness of the mixture along one run, and whether it goes lean. For petrol engines with natural aspiration.
 *
 * @param lambda mixture of the run on its own grid of 50 rpm. [1], lambda
 * @returns the figures. Pure; never throws. Source: measurement-model §8, fuelling-sound; common practice. Tested: tests/vectors, checks.
 */
export function mixtureTrace(lambda: Float64Array): MixtureFigures {
  const course = smoothed(lambda, gaussianKernel(lambda.length, COURSE_SD_RPM / GRID_RPM))
  const squares = lambda.reduce((sum, value, i) => sum + (value - (course[i] ?? 0)) ** 2, 0)
  return {
    dispersion: Math.sqrt(squares / lambda.length),
    isLean: staysAbove(lambda, LEAN.caution),
    isTooLean: staysAbove(lambda, LEAN.breach),
  }
}

/** Whether so many neighbouring grid points all lie above a level. */
function staysAbove(lambda: Float64Array, level: number): boolean {
  let streak = 0
  for (const value of lambda) {
    streak = value > level ? streak + 1 : 0
    if (streak >= EXCURSION_POINTS) return true
  }
  return false
}

/**
 * The leanest level that the mixture keeps up over 300 rpm: the largest of the smallest values of so many points on end.
 *
 * @param lambda mixture of the run on its own grid of 50 rpm. [1], lambda
 * @returns the level; the run's smallest value where it is shorter. [1] Pure; never throws.
 *
 * Source: measurement-model §8, fuelling-sound: a stretch lies above a limit when this does.
 */
export function leanStretch_1(lambda: Float64Array): number {
  const length = Math.min(EXCURSION_POINTS, lambda.length)
  let level = Number.NEGATIVE_INFINITY
  for (let start = 0; start + length <= lambda.length; start++) {
    level = Math.max(level, Math.min(...lambda.subarray(start, start + length)))
  }
  return level
}
