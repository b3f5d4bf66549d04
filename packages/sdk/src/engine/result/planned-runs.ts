import type { Claim } from '../../contract/claim.ts'
import type { Protocol } from '../../contract/protocol.ts'
import type { ClaimJudgement } from '../../contract/result.ts'
import type { Swap } from '../../contract/vehicle.ts'
import type { Evidence } from '../evidence/evidence.ts'
import { WHERE_SILENT } from '../statistics/facility-record.ts'
import type { PlanningFigures } from '../statistics/planned-session.ts'
import type { ScalarFit } from '../statistics/scalar-fit.ts'
import { advisedDesigns, designWords, fewestPerSideOf, type WeighedDesign } from './advised-designs.ts'

/**
 * How many runs and mountings would settle the first open claim, as far as the runs at hand tell.
 *
 * Asked of relative "at least" and "at most" claims about one figure: the distance of the estimate from the claimed value is
 * the slack that an 80 % chance needs. The estimate itself may move, and that is said. The runs would be made anew: those at
 * hand lend their scatter, not their degrees of freedom.
 *
 * @param evidence the evidence.
 * @param claims all judgements.
 * @param swap how the change is made.
 * @param protocol for its fewest runs, and for the typical scatter where these runs show none.
 * @returns a sentence; null where there is no such claim, or the estimate lies on its wrong side. Pure; never throws.
 *
 * Source: measurement-model §11. Tested: tests/engine/planned-runs.test.ts.
 */
export function plannedRunsSentence(
  evidence: Evidence,
  claims: readonly ClaimJudgement[],
  swap: Swap,
  protocol: Protocol,
): string | null {
  const { headline } = evidence
  if (headline === null) return null
  const figures = planningFigures(headline.fit, evidence, protocol)
  for (const judgement of claims) {
    const claim = (evidence.session.comparison.claims ?? []).find(({ id }) => id === judgement.claim)
    const slack = claim === undefined ? null : slackOf(claim, judgement)
    if (slack === null) continue
    const target = { kind: 'claim', slack } as const
    const [design] = advisedDesigns({ target, figures, swap, fewestPerSide: fewestPerSideOf(protocol) })
    return design?.isEnough === true ? needed(judgement.claim, design) : hopeless(judgement.claim, design)
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

/** Scatter of the headline fit and the record, as the planning takes it; typical values where neither tells. */
function planningFigures(fit: ScalarFit, { record }: Evidence, { assumed: { typical } }: Protocol): PlanningFigures {
  const { repeatability, drift } = fit
  const components = (fit.interval ?? fit.asMounted)?.components ?? []
  const declaredDrift = record?.driftRelSdPerRun ?? WHERE_SILENT.driftRelSdPerRun
  return {
    repeatRelSd: repeatability.variance === null ? typical.repeatability : Math.sqrt(repeatability.variance),
    repeatDof: record?.repeatDof ?? 0,
    mountRelSd: record?.mountRelSd ?? mountSdSeen(fit) ?? typical.remounting,
    mountDof: record?.mountDof ?? 0,
    driftRelSdPerRun: drift.isDetected ? Math.max(declaredDrift, Math.abs(drift.slope)) : declaredDrift,
    ...(record?.driftDof == null ? {} : { driftDof: record.driftDof }),
    otherVariance: components.reduce((sum, { term, variance }) => (term === 'ambient' ? sum + variance : sum), 0),
  }
}

/**
 * Between-mounting sd that these runs show: √max(MB − v_r n̄, MB/2); null where mountings are not their units.
 *
 * Source: measurement-model §3.5 and, for the difference that is never floored at 0, §9.2.
 */
function mountSdSeen({ mountMode, components, mountWeight, repeatWeight, repeatability }: ScalarFit): number | null {
  const term = components.find((component) => component.term === 'mount')
  if (mountMode !== 'session_mounting_means' || term === undefined) return null
  const meanSquare = term.variance / mountWeight
  const fromRuns = ((repeatability.variance ?? 0) * repeatWeight) / mountWeight
  return Math.sqrt(Math.max(meanSquare - fromRuns, meanSquare / 2))
}

function needed(claim: string, design: WeighedDesign): string {
  return `If the gain is what these runs say, ${designWords(design)} would settle ${claim} four times in five (interval about ±${percentText(design)} %).`
}

function hopeless(claim: string, design: WeighedDesign | undefined): string {
  const best = design === undefined ? '' : `; ${designWords(design)} would come to about ±${percentText(design)} %`
  return `If the gain is what these runs say, ${claim} lies so close to it that no sensible number of runs would settle it${best}.`
}

function percentText({ halfWidth }: WeighedDesign): string {
  return (100 * halfWidth).toFixed(1)
}
