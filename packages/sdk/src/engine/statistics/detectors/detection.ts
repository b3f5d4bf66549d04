import type { SideIndex } from '../cells.ts'

/** What a detector saw, and the limit it was held to. */
export interface Detection {
  /** The statistic, in the unit its detector states. */
  readonly observed: number
  /** The limit that decided. */
  readonly limit: number
  /** Whether the limit is broken. */
  readonly isBroken: boolean
  /** Indexes of the runs concerned; empty where no single run is to blame, or nothing is broken. */
  readonly runs: readonly number[]
}

/** Which run stands where: one entry per run, in run order. */
export interface ComparedRuns {
  /** Side of each run, 0 baseline, 1 modified. */
  readonly sides: readonly SideIndex[]
  /** Mounting of each run. */
  readonly mountings: readonly string[]
}

/** The curves of all runs on their common grid, with where each stands. */
export interface ComparedCurves extends ComparedRuns {
  /** Grid. [rpm], rising by 50 */
  readonly engineSpeed_rpm: Float64Array
  /** Interpolated, unsmoothed power, one curve per run. [unit] */
  readonly raw: readonly Float64Array[]
  /** Smoothed power, one curve per run. [unit] */
  readonly smooth: readonly Float64Array[]
}

/** Mean of each side, baseline first. */
export function sideMeans(values: ArrayLike<number>, sides: readonly SideIndex[]): readonly [number, number] {
  const sums = [0, 0] as [number, number]
  const counts = [0, 0] as [number, number]
  sides.forEach((side, i) => {
    sums[side] += values[i] ?? Number.NaN
    counts[side] += 1
  })
  return [sums[0] / counts[0], sums[1] / counts[1]]
}

/** Number of runs of each side, baseline first. */
export function sideCounts(sides: readonly SideIndex[]): readonly [number, number] {
  const modified = sides.filter((side) => side === 1).length
  return [sides.length - modified, modified]
}

/** Indexes of the runs of each cell, cells in order of first appearance. */
export function runsByCell({ sides, mountings }: ComparedRuns): readonly (readonly number[])[] {
  const cells = new Map<string, number[]>()
  sides.forEach((side, i) => {
    const name = `${side}|${mountings[i]}`
    const runs = cells.get(name)
    if (runs === undefined) cells.set(name, [i])
    else runs.push(i)
  })
  return [...cells.values()]
}

/** Plain mean. */
export function meanOf(values: Float64Array): number {
  let sum = 0
  for (const value of values) sum += value
  return sum / values.length
}
