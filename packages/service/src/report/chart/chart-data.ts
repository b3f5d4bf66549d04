/** What the chart shows, before it is drawn. */
import type { Comparison, GainCurve, Result, Standing } from '@fairpull/sdk/contract'
import { judgedCurves, type RunCurve } from '@fairpull/sdk/engine'
import { type ClaimedLevels, claimedLevels } from './claimed-levels.ts'

/** Everything that the chart shows. */
export interface ChartData extends ClaimedLevels {
  readonly standing: Standing
  /** Means, gain and bands, as signed; null where the runs share no curve. */
  readonly curve: GainCurve | null
  /** The single runs behind the means; empty where the runs themselves are not at hand. */
  readonly runs: readonly RunCurve[]
}

/**
 * The data of the chart of a result.
 *
 * A result holds neither the curves of single runs nor the numbers that were claimed, only their sentences: both come from
 * the comparison whose digest it carries.
 *
 * @param comparison the comparison that was judged; null where it is not at hand, then neither is drawn. Pure.
 */
export function chartData({ standing, gains }: Result, comparison: Comparison | null): ChartData {
  const { curve } = gains
  if (curve === null || comparison === null) return { standing, curve, runs: [], levels: [], peaks: [] }
  return { standing, curve, runs: runsOnGrid(curve, comparison), ...claimedLevels(comparison.claims ?? [], curve) }
}

/** Curves on another grid than the signed one are of another method version: they are not the runs behind these means. */
function runsOnGrid({ engineSpeed_rpm }: GainCurve, comparison: Comparison): readonly RunCurve[] {
  const judged = judgedCurves(comparison)
  const isSameGrid =
    judged !== null &&
    judged.engineSpeed_rpm.length === engineSpeed_rpm.length &&
    judged.engineSpeed_rpm.every((speed, i) => speed === engineSpeed_rpm[i])
  return isSameGrid ? judged.runs : []
}
