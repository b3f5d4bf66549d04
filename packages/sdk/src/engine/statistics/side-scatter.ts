import { fisherF } from '../numerics/fisher-f.ts'
import { centredWithinCells, layoutOf, type SideIndex } from './cells.ts'

/** Run-to-run scatter of each side on its own. */
export interface SideScatter {
  /** Within-mounting sd of baseline and modified; null with no degree of freedom. [unit], ln where the figures are */
  readonly sds: readonly [number | null, number | null]
  /** Two-sided p of equal variances; null where a side has no degree of freedom or no scatter. [1] */
  readonly p: number | null
  /** Whether the sides scatter unequally: flag `sides_unequal`. */
  readonly isUnequal: boolean
}

/** p below which the sides count as unequal. [1] Source: measurement-model §3.7. */
const UNEQUAL_P = 0.05

/**
 * Whether one side repeats worse than the other. It changes no interval; it is told.
 *
 * F = s_B²/s_A² on the within-mounting degrees of freedom of each side; p = 2 min(P(F > f), P(F < f)).
 *
 * @param values figure of each run, ln where relative. [unit]
 * @param sides of all runs.
 * @param mountings of all runs.
 * @returns both sds and the comparison. Pure; never throws. Source: measurement-model §3.7. Tested: tests/engine/statistics.
 */
export function sideScatter(
  values: Float64Array,
  sides: readonly SideIndex[],
  mountings: readonly string[],
): SideScatter {
  const centred = centredWithinCells(values, layoutOf(sides, mountings))
  const [baseline, modified] = [scatterOf(centred, sides, mountings, 0), scatterOf(centred, sides, mountings, 1)]
  const sd = ({ variance }: Scatter) => (variance === null ? null : Math.sqrt(variance))
  const p = equalityP(baseline, modified)
  return { sds: [sd(baseline), sd(modified)], p, isUnequal: p !== null && p < UNEQUAL_P }
}

interface Scatter {
  readonly variance: number | null
  readonly dof: number
}

function scatterOf(
  centred: Float64Array,
  sides: readonly SideIndex[],
  mountings: readonly string[],
  side: SideIndex,
): Scatter {
  const own = centred.filter((_, i) => sides[i] === side)
  const dof = own.length - new Set(mountings.filter((_, i) => sides[i] === side)).size
  return { variance: dof > 0 ? own.reduce((sum, value) => sum + value * value, 0) / dof : null, dof }
}

function equalityP(baseline: Scatter, modified: Scatter): number | null {
  if (baseline.variance === null || modified.variance === null || baseline.variance === 0 || modified.variance === 0)
    return null
  const f = modified.variance / baseline.variance
  return Math.min(
    1,
    2 * Math.min(fisherF.sf(f, modified.dof, baseline.dof), fisherF.cdf(f, modified.dof, baseline.dof)),
  )
}
