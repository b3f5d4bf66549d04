import type { Registration } from '../../contract/plan.ts'
import type { Protocol } from '../../contract/protocol.ts'
import type { ClaimJudgement, ConditionalJudgement, ExtremeGain, Finding } from '../../contract/result.ts'
import type { Evidence } from '../evidence/evidence.ts'
import { quantityOf } from '../evidence/subject.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import type { StandingDecision } from '../protocol/standing.ts'
import { type Allowance, NO_ALLOWANCE } from '../statistics/allowance.ts'
import type { SessionInput } from '../statistics/session-input.ts'
import { answerOf, type ClaimAnswer, type Extreme } from './answer.ts'
import { type BandIntervals, bandIntervalView } from './band-interval-view.ts'
import { type AskedClaim, askedClaims } from './claim-questions.ts'
import { bandWords, intervalWords, judgementSentence, listed, REASONS, statementOf } from './claim-words.ts'
import { type AllowanceOf, conditionalInput, GROUP_NAMES, plainAllowance } from './conditional.ts'
import { undecidedBecause } from './effects.ts'
import { asMountedView, intervalView, NO_INTERVAL } from './interval-view.ts'
import { type AdjustedJudgement, judgementsOf } from './judgement.ts'
import type { PlanDiscipline } from './plan-discipline.ts'

const UNANSWERED: ClaimAnswer = {
  supportP: 1,
  contradictionP: 1,
  reason: 'not covered',
  allowance: NO_ALLOWANCE,
  fit: null,
  band: null,
  extremes: null,
  bandMean: null,
}

/** What the protocol says of the whole comparison. */
export interface Ruling {
  /** The standing. */
  readonly decision: StandingDecision
  /** The limits within which it holds, one sentence each; they go with every judgement. */
  readonly scope: readonly string[]
}

/**
 * The judgement of every claim of a comparison.
 *
 * One path: an invalid standing makes every claim not assessable; an effect of a check leaves them undecided; else the
 * corrected p decide. What the plain analysis cannot answer gets a conditional answer beside it, never in its place, and by
 * the same plan and the same effects.
 *
 * @param evidence the evidence.
 * @param findings all findings.
 * @param ruling the standing, and within which limits it holds.
 * @param protocol for effects and assumed values.
 * @param plan what the plan means for the judgements.
 * @returns one judgement per claim, in order. Pure; never throws. Source: measurement-model §7.
 */
export function judgeClaims(
  evidence: Evidence,
  findings: readonly Finding[],
  ruling: Ruling,
  protocol: Protocol,
  plan: PlanDiscipline,
): readonly ClaimJudgement[] {
  const asked = askedClaims(evidence)
  const plain = answersTo(asked, evidence.input, evidence, plainAllowance(evidence, protocol))
  const judged = judgementsOf(plain, plan.judged)
  const effect = undecidedBecause(evidence, findings, protocol) ?? plan.notAsPlanned
  const effects = asked.map((_, i) => effect ?? (plan.isExploratory(i) ? EXPLORATORY : null))
  const conditional = conditionalJudgements({ asked, plain, effects }, evidence, protocol, plan)
  const { registration } = plan
  return asked.map((claim, i) =>
    claimJudgement(claim, plain[i] ?? UNANSWERED, judged[i], {
      ...ruling,
      effect: effects[i] ?? null,
      conditional: conditional[i] ?? null,
      registration,
    }),
  )
}

function answersTo(
  asked: readonly AskedClaim[],
  input: SessionInput,
  { models }: Evidence,
  allowanceOf: AllowanceOf,
): readonly ClaimAnswer[] {
  return asked.map(({ claim, question }) =>
    question === null ? UNANSWERED : answerOf(question, input, models, allowanceOf(quantityOf(claim))),
  )
}

interface JudgementSetting extends Ruling {
  readonly effect: string | null
  readonly conditional: ConditionalJudgement | null
  readonly registration: Registration
}

/** Why a claim that no plan registered stays open beside those that one did. */
const EXPLORATORY = 'The claim was not registered, so it is exploratory; its p is not adjusted.'

function claimJudgement(
  asked: AskedClaim,
  answer: ClaimAnswer,
  adjusted: AdjustedJudgement | undefined,
  { decision, scope, effect, conditional, registration }: JudgementSetting,
): ClaimJudgement {
  const { claim, printed, scale } = asked
  const isInvalid = decision.standing === 'invalid'
  const reason = isInvalid
    ? invalidReason(decision)
    : (effect ?? (answer.reason === null ? null : REASONS[answer.reason]))
  const judgement = isInvalid ? 'not-assessable' : reason !== null ? 'undecided' : (adjusted?.judgement ?? 'undecided')
  const { interval, asMounted } = intervalsOfAnswer(asked, answer)
  const because = `${becauseOf(asked, answer)}${interval.low === null ? '' : allowanceWords(answer.allowance)}`
  return {
    claim: claim.id,
    statement: statementOf(claim),
    judgement,
    sentence: judgementSentence(judgement, because, reason, registration),
    reason,
    unit: claim.gain.unit,
    over: claim.over,
    interval,
    asMounted,
    supportP: roundSignificant(adjusted?.supportP ?? answer.supportP),
    contradictionP: roundSignificant(adjusted?.contradictionP ?? answer.contradictionP),
    conditional: isInvalid ? null : conditional,
    smallest: extremeView(asked, answer.extremes?.smallest),
    largest: extremeView(asked, answer.extremes?.largest),
    scope,
    bandMean: answer.bandMean === null ? null : intervalView(answer.bandMean, printed, scale),
  }
}

function intervalsOfAnswer({ question, printed, scale }: AskedClaim, answer: ClaimAnswer): BandIntervals {
  if (answer.fit !== null) {
    const fit = answer.fit.main.ok ? answer.fit.main.fit : null
    return {
      interval: intervalView(answer.fit, printed, scale, answer.allowance),
      asMounted: fit === null ? null : asMountedView(fit, printed, scale, answer.allowance),
    }
  }
  if (question === null || question.shape === 'figure') return { interval: NO_INTERVAL, asMounted: null }
  return bandIntervalView(answer, question.shape, printed, scale)
}

/** The figures that a judgement rests on, in words. */
function becauseOf(asked: AskedClaim, answer: ClaimAnswer): string {
  const { claim, question, printed, scale } = asked
  const { interval } = intervalsOfAnswer(asked, answer)
  const smallest = extremeView(asked, answer.extremes?.smallest)
  const largest = extremeView(asked, answer.extremes?.largest)
  if (question === null || question.shape === 'figure' || smallest === null || largest === null || !answer.bandMean)
    return intervalWords(interval, claim.gain.unit)
  const bandMean = intervalView(answer.bandMean, printed, scale)
  return bandWords({ shape: question.shape, interval, smallest, largest, bandMean }, claim.gain.unit)
}

function extremeView({ printed }: AskedClaim, extreme: Extreme | undefined): ExtremeGain | null {
  if (extreme === undefined) return null
  return { value: roundSignificant(printed(extreme.gain)), at_rpm: extreme.engineSpeed_rpm }
}

function invalidReason({ invalidating }: StandingDecision): string {
  const names = invalidating.map(({ check }) => check).join(', ')
  return names === '' ? 'A side has no usable run.' : `The comparison is invalid (${names}).`
}

/** The claims with what the plain analysis answers, and why each is undecided whatever the figures; null where nothing is. */
interface PlainlyAnswered {
  readonly asked: readonly AskedClaim[]
  readonly plain: readonly ClaimAnswer[]
  readonly effects: readonly (string | null)[]
}

/** A judgement from assumed values for every claim that the plain analysis gives no interval for. */
function conditionalJudgements(
  { asked, plain, effects }: PlainlyAnswered,
  evidence: Evidence,
  protocol: Protocol,
  plan: PlanDiscipline,
): readonly (ConditionalJudgement | null)[] {
  if (!plain.some(({ reason }) => reason === 'no interval')) return asked.map(() => null)
  const { on, filled, input, allowanceOf } = conditionalInput(evidence, protocol)
  const answers = answersTo(asked, input, evidence, allowanceOf)
  const judged = judgementsOf(answers, plan.judged)
  const groups = listed(filled.map((group) => GROUP_NAMES[group]))
  return asked.map((claim, i) => {
    const answer = answers[i]
    if (plain[i]?.reason !== 'no interval' || answer === undefined || answer.reason !== null) return null
    const effect = effects[i] ?? null
    const judgement = effect === null ? (judged[i]?.judgement ?? 'undecided') : 'undecided'
    const { interval } = intervalsOfAnswer(claim, answer)
    const sentence = judgementSentence(judgement, becauseOf(claim, answer), effect, plan.registration)
    return {
      on,
      judgement,
      sentence: `Conditional on ${on} values of ${groups} (${CONDITIONAL_BASIS[on]})${allowanceWords(answer.allowance)}. ${sentence}`,
      interval,
    }
  })
}

/** What an interval of printed figures leaves room for. */
function allowanceWords({ down, up }: Allowance): string {
  if (down === 0 && up === 0) return ''
  const percent = (share: number) => `${Number((100 * share).toPrecision(2))} %`
  return `, with room for the best of several runs and for half a printed digit (${percent(down)} down, ${percent(up)} up)`
}

const CONDITIONAL_BASIS = {
  typical: 'assumed, no source',
  cautious: 'assumed, no source',
  network: 'pooled over other facilities',
} as const
