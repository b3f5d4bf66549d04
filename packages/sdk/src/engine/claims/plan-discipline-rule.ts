/** What every rule of the plan discipline is given, and how it answers. */
import type { PlanRuleReport, RegisteredPlan } from '../../contract/plan.ts'
import type { RunDigest } from '../../contract/result.ts'
import type { Session, SessionRun } from '../inputs/session.ts'
import type { RunnableProtocol } from '../protocol/define-protocol.ts'

/** What the rules look at. */
export interface RuleInput {
  /** The plan with its record. */
  readonly plan: RegisteredPlan
  /** The session. */
  readonly session: Session
  /** Digests of its runs. */
  readonly digests: readonly RunDigest[]
  /** Index of every registered claim in the comparison, the primary one first; -1 for one that is not there as registered. */
  readonly registered: readonly number[]
  /** Judges the exclusions. */
  readonly protocol: RunnableProtocol
}

/** The rule is kept when nothing speaks against it. */
export function ruled(rule: PlanRuleReport['rule'], fault: string | undefined, otherwise: string): PlanRuleReport {
  return { rule, kept: fault === undefined, sentence: fault ?? otherwise }
}

/** Runs in the order in which they were logged. */
export function inLoggedOrder(runs: readonly SessionRun[], { runs: logged }: RegisteredPlan): readonly SessionRun[] {
  const numbers = new Map(logged.map(({ run, number }) => [run, number]))
  return runs.toSorted((a, b) => (numbers.get(a.id) ?? 0) - (numbers.get(b.id) ?? 0))
}
