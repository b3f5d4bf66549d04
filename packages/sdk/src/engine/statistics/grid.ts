import { type GaussianKernel, gaussianKernel, smoothed } from '../numerics/gaussian-smooth.ts'
import type { SweepCurve } from './sweep-curve.ts'

/** Grid spacing. [rpm] */
export const GRID_RPM = 50

/** Standard deviation of the smoothing. [rpm] */
const SMOOTHING_RPM = 100

/** The common grid of a session: all multiples of 50 rpm inside the overlap of all runs used. */
export interface Grid {
  /** Ends of the overlap; not multiples of 50 in general. [rpm] */
  readonly overlapStart_rpm: number
  readonly overlapEnd_rpm: number
  /** Grid points. [rpm] */
  readonly engineSpeed_rpm: Float64Array
}

/** A part of the grid, first and last index included. */
export interface GridRange {
  readonly first: number
  readonly last: number
}

/**
 * The grid of the curves' overlap.
 *
 * @param curves at least one, none empty.
 * @returns the grid; null when the overlap holds no grid point. Source: measurement-model §2.
 */
export function gridOf(curves: readonly SweepCurve[]): Grid | null {
  const start = Math.max(...curves.map(({ engineSpeed_rpm }) => engineSpeed_rpm[0] ?? Number.POSITIVE_INFINITY))
  const end = Math.min(...curves.map(({ engineSpeed_rpm }) => engineSpeed_rpm.at(-1) ?? Number.NEGATIVE_INFINITY))
  const first = Math.ceil(start / GRID_RPM)
  const points = Math.floor(end / GRID_RPM) - first + 1
  if (!(points >= 1)) return null
  return {
    overlapStart_rpm: start,
    overlapEnd_rpm: end,
    engineSpeed_rpm: Float64Array.from({ length: points }, (_, i) => (first + i) * GRID_RPM),
  }
}

/** The smoothing kernel of a grid; made once and used for every curve on it. */
export function gridKernel(grid: Grid): GaussianKernel {
  return gaussianKernel(grid.engineSpeed_rpm.length, SMOOTHING_RPM / GRID_RPM)
}

/** A curve interpolated linearly to the grid. [unit] */
export function onGrid(curve: SweepCurve, grid: Grid): Float64Array {
  const { engineSpeed_rpm: speeds, power } = curve
  let right = 1
  return grid.engineSpeed_rpm.map((speed) => {
    while (right < speeds.length - 1 && (speeds[right] ?? 0) < speed) right += 1
    const [a, b] = [speeds[right - 1] ?? 0, speeds[right] ?? 0]
    const [p, q] = [power[right - 1] ?? 0, power[right] ?? 0]
    return b === a ? p : p + ((speed - a) / (b - a)) * (q - p)
  })
}

/** A gridded curve smoothed with sd 100 rpm, not truncated, renormalised at every point. [unit] */
export function smoothedOnGrid(values: Float64Array, kernel: GaussianKernel): Float64Array {
  return smoothed(values, kernel)
}

/** Why a range cannot be judged. */
export type RangeProblem = 'not covered' | 'range too narrow'

/** Fewest grid points of a range. */
const FEWEST_POINTS = 3

/**
 * The grid points of a range of engine speeds.
 *
 * @param grid the grid.
 * @param from_rpm lower end. [rpm]
 * @param to_rpm upper end. [rpm]
 * @returns first and last index, or why the range cannot be judged: it is never extrapolated.
 */
export function rangeOf(grid: Grid, from_rpm: number, to_rpm: number): GridRange | RangeProblem {
  if (!(grid.overlapStart_rpm <= from_rpm && to_rpm <= grid.overlapEnd_rpm)) return 'not covered'
  const start = grid.engineSpeed_rpm[0] ?? 0
  const first = Math.ceil((from_rpm - start) / GRID_RPM)
  const last = Math.min(Math.floor((to_rpm - start) / GRID_RPM), grid.engineSpeed_rpm.length - 1)
  return last - Math.max(first, 0) + 1 < FEWEST_POINTS ? 'range too narrow' : { first: Math.max(first, 0), last }
}

/** Plain mean of the grid points of a range. [unit] */
export function bandMean(values: Float64Array, { first, last }: GridRange): number {
  let sum = 0
  for (let i = first; i <= last; i++) sum += values[i] ?? 0
  return sum / (last - first + 1)
}

/**
 * Linear interpolation between grid points; inside the overlap but beyond the last grid point, the value there. [unit]
 *
 * @returns the value, or `not covered` outside the overlap: it is never extrapolated.
 */
export function valueAt(values: Float64Array, grid: Grid, speed_rpm: number): number | RangeProblem {
  if (!(speed_rpm >= grid.overlapStart_rpm && speed_rpm <= grid.overlapEnd_rpm)) return 'not covered'
  const position = Math.min(Math.max((speed_rpm - (grid.engineSpeed_rpm[0] ?? 0)) / GRID_RPM, 0), values.length - 1)
  const left = Math.floor(position)
  const [a, b] = [values[left] ?? 0, values[left + 1] ?? values[left] ?? 0]
  return a + (position - left) * (b - a)
}
