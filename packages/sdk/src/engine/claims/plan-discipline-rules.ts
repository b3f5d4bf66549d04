/** Rules of the plan discipline about runs, claims and the register. */
import type { Claim } from '../../contract/claim.ts'
import type { PlanRuleReport, RegisteredPlan } from '../../contract/plan.ts'
import { plannedClaims, plannedSlots } from '../../contract/plan-order.ts'
import type { RunDigest } from '../../contract/result.ts'
import type { Session, SessionRun } from '../inputs/session.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import { ALPHA } from './judgement.ts'
import { exclusionOf } from './plan-discipline-exclusions.ts'
import { inLoggedOrder, type RuleInput, ruled } from './plan-discipline-rule.ts'
import { oneSession, warmOrMatched } from './plan-discipline-session.ts'

/** Every rule, in the order of measurement-model §10, and the exclusions last. */
export function rulesOf(input: RuleInput): readonly PlanRuleReport[] {
  return [
    everyRunCounted(input),
    runsAsPlanned(input),
    registeredClaims(input),
    oneSession(input),
    warmOrMatched(input),
    recordIssued(input),
    unpublishedPlans(input),
    exclusionsByRule(input),
  ]
}

/** Index of every registered claim in the comparison, the primary one first; -1 for one that is not there as registered. */
export function registeredIndexes({ terms }: RegisteredPlan, claims: readonly Claim[]): readonly number[] {
  return plannedClaims(terms).map((claim) =>
    claims.findIndex((each) => each.id === claim.id && isSameValue(each, claim)),
  )
}

/** Equal as JSON values, whatever the order of their members. */
function isSameValue(one: unknown, other: unknown): boolean {
  if (typeof one !== 'object' || typeof other !== 'object' || one === null || other === null) return one === other
  const names = Object.keys(one)
  return (
    names.length === Object.keys(other).length &&
    names.every((name) => isSameValue(Reflect.get(one, name), Reflect.get(other, name)))
  )
}

function everyRunCounted({ plan, session, digests }: RuleInput): PlanRuleReport {
  const aborted = session.runs.filter(({ wire }) => wire.purpose === 'aborted').length
  const brokenOff = aborted === 0 ? '' : ` ${aborted} of them ${aborted === 1 ? 'was' : 'were'} broken off.`
  return ruled(
    'every-run-counted',
    receiptFault(plan, digests) ?? counterFault(session) ?? purposeFault(session),
    `All ${plan.runs.length} runs are logged without a gap, and the rig’s own numbers agree.${brokenOff}`,
  )
}

function receiptFault({ runs }: RegisteredPlan, digests: readonly RunDigest[]): string | undefined {
  const logged = new Map(runs.map(({ run, digest }) => [run, digest]))
  const foreign = digests.find(({ run, digest }) => logged.get(run) !== digest)
  if (foreign !== undefined) return `Run ${foreign.run} is not the one that was logged.`
  const present = new Set(digests.map(({ run }) => run))
  const missing = runs.find(({ run }) => !present.has(run))
  return missing === undefined ? undefined : `The logged run ${missing.run} was left out.`
}

/** Under a plan every number of the rig belongs to a logged run; a declared stranger is a gap all the same. */
function counterFault({ runs }: Session): string | undefined {
  const counters = runs.flatMap(({ wire }) => wire.counter ?? [])
  if (counters.length < runs.length) return 'The rig’s own number is not recorded for every run.'
  const ordered = counters.toSorted((a, b) => a - b)
  const at = ordered.findIndex((counter, index) => index > 0 && counter !== (ordered[index - 1] ?? 0) + 1)
  if (at < 0) return undefined
  const [before, after] = [ordered[at - 1], ordered[at]]
  return before === after
    ? `Two runs carry the rig’s number ${after}.`
    : `The rig’s numbers go from ${before} to ${after}; nobody logged what lies between.`
}

/** A pull counts as broken off when it ends so far below every measured one. [rpm] Source: measurement-model §8, clipped range. */
const BROKEN_OFF_RPM = 500

/** A whole pull may not be called something else once it is seen: what was broken off shows it, and tuning has no place. */
function purposeFault({ runs }: Session): string | undefined {
  const stranger = runs.find(({ wire }) => wire.purpose === 'tuning' || wire.purpose === 'diagnosis')
  if (stranger !== undefined)
    return `Run ${stranger.id} was made for ${stranger.wire.purpose}, which the plan does not hold.`
  const whole = Math.min(...runs.flatMap((run) => (run.wire.purpose === 'measured' ? (highest_rpm(run) ?? []) : [])))
  const doubtful = runs.find((run) => {
    const reached = highest_rpm(run)
    return run.wire.purpose === 'aborted' && !(reached !== null && reached < whole - BROKEN_OFF_RPM)
  })
  return doubtful === undefined
    ? undefined
    : `Run ${doubtful.id} is called aborted, and no trace shows that it was broken off.`
}

/** Highest engine speed of a trace; null without one. [rpm] */
function highest_rpm({ channels }: SessionRun): number | null {
  const speeds = channels?.engineSpeed_rpm
  return speeds == null ? null : speeds.reduce((highest, speed) => Math.max(highest, speed), 0)
}

function runsAsPlanned({ plan, session }: RuleInput): PlanRuleReport {
  const planned = plannedSlots(plan.terms)
  const made = inLoggedOrder(session.used, plan)
  const count = (slots: readonly { readonly side: string }[], side: string) =>
    slots.filter((slot) => slot.side === side).length
  const counts = `${count(made, 'baseline')} baseline and ${count(made, 'modified')} modified runs`
  return ruled(
    'runs-as-planned',
    countFault(planned, made) ?? orderFault(planned, made) ?? conditioningFault(session, plan),
    `${counts} were made, in the order and the mountings of the plan.`,
  )
}

type Slots = readonly { readonly side: string; readonly mounting: string }[]

function countFault(planned: Slots, made: Slots): string | undefined {
  for (const side of ['baseline', 'modified'] as const) {
    const [asked, done] = [planned, made].map((slots) => slots.filter((slot) => slot.side === side).length)
    if (asked !== done) return `${asked} ${side} ${asked === 1 ? 'run was' : 'runs were'} planned, ${done} can be used.`
  }
  return undefined
}

function orderFault(planned: Slots, made: Slots): string | undefined {
  const at = planned.findIndex(({ side, mounting }, k) => made[k]?.side !== side || made[k]?.mounting !== mounting)
  const slot = planned[at]
  if (slot === undefined) return undefined
  return `Measured run ${at + 1} was planned as ${slot.side} in mounting ${slot.mounting}, and made as ${made[at]?.side} in ${made[at]?.mounting}.`
}

/** A run that counts as conditioning once it is seen to be unwelcome would be a choice: the plan says how many there are. */
function conditioningFault(session: Session, { terms }: RegisteredPlan): string | undefined {
  const mountings = [...new Set(session.runs.map(({ mounting }) => mounting))]
  const tooMany = mountings.find((mounting) => {
    const count = session.runs.filter((run) => run.mounting === mounting && run.wire.purpose === 'conditioning').length
    return count > terms.conditioningRuns
  })
  return tooMany === undefined
    ? undefined
    : `More than the planned ${terms.conditioningRuns} conditioning runs were made in mounting ${tooMany}.`
}

function registeredClaims({ plan, session, registered }: RuleInput): PlanRuleReport {
  const asked = plannedClaims(plan.terms)
  const missing = asked.find((_, index) => (registered[index] ?? -1) < 0)
  const extra = (session.comparison.claims ?? []).length - registered.length
  return ruled(
    'registered-claims',
    missing === undefined ? undefined : `The registered claim ${missing.id} is not judged as it was registered.`,
    extra > 0
      ? `Every registered claim is judged; ${extra} ${extra === 1 ? 'other is' : 'others are'} exploratory.`
      : 'The claims are those that were registered.',
  )
}

function recordIssued({ plan }: RuleInput): PlanRuleReport {
  return ruled(
    'record-issued',
    plan.facilityRecord === 'uploaded'
      ? 'The facility record came with the plan and was not issued by the register.'
      : undefined,
    plan.facilityRecord === 'issued'
      ? 'The facility record was issued by the register.'
      : 'No facility record was used.',
  )
}

function unpublishedPlans({ plan }: RuleInput): PlanRuleReport {
  const { unpublishedPlans: others } = plan
  const level = levelOf(plan)
  return ruled(
    'unpublished-plans',
    undefined,
    others === 0
      ? 'No other plan for this product has runs and is unpublished.'
      : `${others} other ${others === 1 ? 'plan' : 'plans'} for this product had runs and ${others === 1 ? 'is' : 'are'} unpublished, so claims are judged at ${level} instead of ${ALPHA}.`,
  )
}

/** Level of the judgements under a plan: 0.025 divided among the plans that were run. [1] */
export function levelOf({ unpublishedPlans }: RegisteredPlan): number {
  return roundSignificant(ALPHA / (1 + unpublishedPlans))
}

function exclusionsByRule({ plan, session, protocol }: RuleInput): PlanRuleReport {
  const { vehicle, exclusionRules } = plan.terms
  const claims = plannedClaims(plan.terms)
  const excluded = session.comparison.excluded ?? []
  const wires = new Map(session.runs.map(({ id, wire }) => [id, wire]))
  const unfounded = excluded.find(({ run, rule }) => {
    const wire = wires.get(run)
    if (wire === undefined) return true
    const { side: _, ...blind } = wire
    return exclusionOf({ run: blind, vehicle, claims }, exclusionRules, protocol)?.rule !== rule
  })
  return ruled(
    'exclusions-by-rule',
    unfounded === undefined
      ? undefined
      : `Run ${unfounded.run} was left out, and the rule ${unfounded.rule} of the plan does not cover it.`,
    excluded.length === 0
      ? 'No measured run was left out.'
      : `${excluded.length} measured ${excluded.length === 1 ? 'run was' : 'runs were'} left out by rules that see neither side nor gain.`,
  )
}
