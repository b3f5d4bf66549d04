import type { Claim } from '../../contract/claim.ts'
import type { ClaimJudgement } from '../../contract/result.ts'
import type { Evidence } from '../evidence/evidence.ts'
import { type DesignPower, type PlanningFigures, sampleSize } from '../statistics/sample-size.ts'

/**
 * How many runs and mountings would settle the first open claim, as far as the runs at hand tell.
 *
 * Asked of relative "at least" and "at most" claims about one figure: the distance of the estimate from the claimed value is
 * the slack that an 80 % chance needs. The estimate itself may move, and that is said.
 *
 * @param evidence the evidence.
 * @param claims all judgements.
 * @param isMountingShared whether both sides can be measured in one mounting.
 * @returns a sentence; null where the runs do not tell. Pure; never throws. Source: measurement-model §11.
 */
export function plannedRunsSentence(
  evidence: Evidence,
  claims: readonly ClaimJudgement[],
  isMountingShared: boolean,
): string | null {
  const figures = planningFigures(evidence)
  if (figures === null || (!isMountingShared && figures.mountDof === 0)) return null
  for (const judgement of claims) {
    const claim = (evidence.session.comparison.claims ?? []).find(({ id }) => id === judgement.claim)
    const slack = claim === undefined ? null : slackOf(claim, judgement)
    if (slack === null) continue
    const [design] = sampleSize({ target: { kind: 'claim', slack }, figures, isMountingShared })
    return design === undefined ? hopeless(judgement.claim) : needed(judgement.claim, design)
  }
  return null
}

/** Distance on the logarithmic scale, where the estimate lies on the side of the claim; else nothing would support it. */
function slackOf({ relation, over, gain }: Claim, { judgement, interval }: ClaimJudgement): number | null {
  const isFigure = over.kind === 'band-mean' || over.kind === 'peak' || over.kind === 'at-speed'
  if (judgement !== 'undecided' || gain.unit !== '%' || !isFigure || interval.estimate === null) return null
  if (relation === 'equals-within') return null
  const above = Math.log1p(interval.estimate / 100) - Math.log1p(gain.value / 100)
  const slack = relation === 'at-least' ? above : -above
  return slack > 0 ? slack : null
}

/** Scatter of the headline fit and the record, as the planning takes it; null without a run-to-run variance. */
function planningFigures({ headline, record }: Evidence): PlanningFigures | null {
  if (headline === null || headline.fit.repeatability.variance === null) return null
  const { fit } = headline
  const components = (fit.interval ?? fit.asMounted)?.components ?? []
  return {
    repeatRelSd: Math.sqrt(fit.repeatability.variance ?? 0),
    repeatDof: fit.repeatability.dof,
    mountRelSd: record?.mountRelSd ?? 0,
    mountDof: record?.mountDof ?? 0,
    otherVariance: components.reduce(
      (sum, { term, variance }) => (term === 'drift' || term === 'ambient' ? sum + variance : sum),
      0,
    ),
  }
}

function needed(claim: string, { mountings, runs, isMountingShared, halfWidth }: DesignPower): string {
  const where = isMountingShared
    ? `${counted(runs, 'run')} of each side in ${counted(mountings, 'mounting')}${mountings > 1 ? ' each' : ''}`
    : `${counted(mountings, 'mounting')} of each side with ${counted(runs, 'run')} in each`
  return `If the gain is what these runs say, about ${where} would settle ${claim} four times in five (interval ±${(100 * halfWidth).toFixed(1)} %).`
}

function hopeless(claim: string): string {
  return `If the gain is what these runs say, ${claim} lies so close to it that no sensible number of runs would settle it.`
}

function counted(count: number, word: string): string {
  return `${count} ${word}${count === 1 ? '' : 's'}`
}
