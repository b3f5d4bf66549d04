/** The discipline of a plan: what was registered is held against what was done, and every failure is named. */
import type { PlanReport, PlanRuleReport, RegisteredPlan, Registration } from '../../contract/plan.ts'
import type { RunDigest } from '../../contract/result.ts'
import { registrationOf } from '../inputs/plan-registration.ts'
import type { Session } from '../inputs/session.ts'
import type { RunnableProtocol } from '../protocol/define-protocol.ts'
import type { RegisteredPlan as JudgedPlan } from './judgement.ts'
import { levelOf, registeredIndexes, rulesOf } from './plan-discipline-rules.ts'
import { ordinal } from './plan-words.ts'

/** What a plan means for the judgements. */
export interface PlanDiscipline {
  /** Whether the comparison was registered before its first run. */
  readonly registration: Registration
  /** What the judgements are corrected by; null where the plan gives no weight to any claim. */
  readonly judged: JudgedPlan | null
  /** Why all claims are undecided; null when everything went as planned, or the plan binds no more. */
  readonly notAsPlanned: string | null
  /** Whether a claim, by its index, was not registered and is therefore exploratory. */
  readonly isExploratory: (claim: number) => boolean
  /** What the result says of the plan; null without a plan. */
  readonly report: PlanReport | null
}

const NO_PLAN: PlanDiscipline = {
  registration: 'none',
  judged: null,
  notAsPlanned: null,
  isExploratory: () => false,
  report: null,
}

/**
 * The discipline of the plan a comparison was made under.
 *
 * Pre-registered: every rule is looked at, and any failure leaves all claims undecided. Amended after the first run, or not
 * shown to come first: the rules are reported, and bind no more.
 *
 * @param session the session.
 * @param digests digests of its runs, to hold against the receipts.
 * @param protocol judges the exclusions.
 * @returns what the plan means for the judgements. Pure; never throws. Source: measurement-model §10.
 */
export function planDisciplineOf(
  session: Session,
  digests: readonly RunDigest[],
  protocol: RunnableProtocol,
): PlanDiscipline {
  const { plan, claims = [] } = session.comparison
  if (plan === undefined) return NO_PLAN
  const registration = registrationOf(plan)
  const registered = registeredIndexes(plan, claims)
  const rules = rulesOf({ plan, session, digests, registered, protocol })
  const broken = rules.filter(({ kept }) => !kept)
  const isBinding = registration === 'pre-registered'
  const primary = registered[0] ?? -1
  return {
    registration,
    judged: isBinding && primary >= 0 ? { primary, registered, q: 1 + plan.unpublishedPlans } : null,
    notAsPlanned:
      isBinding && broken.length > 0 ? `Not as planned: ${broken.map(({ sentence }) => sentence).join(' ')}` : null,
    isExploratory: (claim) => isBinding && !registered.includes(claim),
    report: reportOf(plan, registration, rules),
  }
}

function reportOf(plan: RegisteredPlan, registration: Registration, rules: readonly PlanRuleReport[]): PlanReport {
  const { id, terms, attempt, logIndex } = plan
  const place =
    attempt.of === 1
      ? 'It is the only plan for this product and machine.'
      : `It is the ${ordinal(attempt.number)} of ${attempt.of} plans for this product and machine.`
  const broken = rules.filter(({ kept }) => !kept)
  const went =
    broken.length === 0
      ? 'Everything went as planned.'
      : `Not as planned: ${broken.map(({ sentence }) => sentence).join(' ')}`
  return {
    id,
    product: terms.product,
    registration,
    level: levelOf(plan),
    attempt,
    rules,
    sentence: `${REGISTERED[registration](logIndex)} ${place} ${went}`,
  }
}

const REGISTERED: Readonly<Record<Registration, (logIndex: number) => string>> = {
  'pre-registered': (logIndex) => `Pre-registered: the plan was logged before the first run, as entry ${logIndex}.`,
  amended: () => 'Amended: the plan was changed after the first run, so it no longer counts as pre-registered.',
  none: () => 'Not pre-registered: the log does not show the plan before every run.',
}
