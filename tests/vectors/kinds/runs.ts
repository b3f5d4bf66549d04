import type { SideIndex } from '../../../packages/sdk/src/engine/statistics/cells.ts'
import { driftCovariate } from '../../../packages/sdk/src/engine/statistics/drift-covariate.ts'
import {
  type Grid,
  gridKernel,
  gridOf,
  onGrid,
  smoothedOnGrid,
} from '../../../packages/sdk/src/engine/statistics/grid.ts'

/** A run of a vector. */
export interface VectorRun {
  readonly id: string
  readonly side: SideIndex
  readonly mount: string
  readonly day: string | number | null
  readonly start_s: number | null
  readonly cf: number | null
  readonly rpm: number[]
  readonly power_hp: number[]
}

/** The runs of a vector as the method's lists, and their smoothed curves. */
export function prepared(runs: readonly VectorRun[]) {
  const curves = runs.map(({ rpm, power_hp }) => ({
    engineSpeed_rpm: Float64Array.from(rpm),
    power: Float64Array.from(power_hp),
  }))
  const grid = gridOf(curves) as Grid
  const kernel = gridKernel(grid)
  return {
    grid,
    smooth: curves.map((curve) => smoothedOnGrid(onGrid(curve, grid), kernel)),
    raw: curves.map((curve) => onGrid(curve, grid)),
    sides: runs.map(({ side }) => side),
    mountings: runs.map(({ mount }) => mount),
    factors: runs.map(({ cf }) => cf),
    days: runs.some(({ day }) => day !== null) ? runs.map(({ day }) => day ?? '(missing)') : null,
    t: driftCovariate(runs.map(({ start_s, mount, day }) => ({ start_s, mounting: mount, day }))),
  }
}
