/** What the chart shows, before it is drawn. */
import type { ClaimJudgement, Comparison, GainCurve, Result, Standing } from '@fairpull/sdk/contract'
import { convert, judgedCurves, type RunCurve } from '@fairpull/sdk/engine'

/** A claimed relative gain, as a level in the picture. */
export interface ClaimedLevel {
  /** Id of the claim. */
  readonly claim: string
  /** Engine speeds it is about. [rpm] */
  readonly from_rpm: number
  readonly to_rpm: number
  /** How the gain should compare with it. */
  readonly relation: 'at-least' | 'at-most' | 'equals-within'
  /** The claimed gain. [%] */
  readonly gain_percent: number
}

/** Everything that the chart shows. */
export interface ChartData {
  readonly standing: Standing
  /** Means, gain and bands, as signed; null where the runs share no curve. */
  readonly curve: GainCurve | null
  /** The single runs behind the means; empty where the runs themselves are not at hand. */
  readonly runs: readonly RunCurve[]
  /** Claims that can be drawn. */
  readonly levels: readonly ClaimedLevel[]
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
  if (curve === null || comparison === null) return { standing, curve, runs: [], levels: [] }
  return { standing, curve, runs: runsOnGrid(curve, comparison), levels: claimedLevels(comparison) }
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

function claimedLevels({ claims = [] }: Comparison): readonly ClaimedLevel[] {
  return claims.flatMap(({ id, quantity, over, relation, gain }) => {
    if (quantity !== 'wheel-power' || gain.unit !== '%') return []
    const range = rangeOf(over)
    return range === null ? [] : [{ claim: id, ...range, relation, gain_percent: gain.value }]
  })
}

/** Ends of a claimed range; null for a peak, which stands at another speed on each side. [rpm] */
export function rangeOf(over: ClaimJudgement['over']): { readonly from_rpm: number; readonly to_rpm: number } | null {
  if (over.kind === 'peak') return null
  const [from, to] = over.kind === 'at-speed' ? [over.speed, over.speed] : [over.from, over.to]
  return { from_rpm: convert(from.value, from.unit, 'rpm'), to_rpm: convert(to.value, to.unit, 'rpm') }
}
