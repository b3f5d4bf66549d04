/** Why a plan does not take what was asked of it, in words. */
import type { FieldProblem, Plan, PlanStatus, Protocol } from '@fairpull/sdk/contract'
import { checkOfRule } from '@fairpull/sdk/engine'
import type { LogRunOutcome } from '../usecases/plan-runs.ts'
import { nothingHere, type Refusal, refuse } from './problem.ts'

const NEXT: Readonly<Record<PlanStatus, string>> = {
  open: 'It has no run yet: log its runs, or take it back.',
  running: 'Its runs are not all made: log the others, close it, or give it up.',
  closed: 'It takes no further run: have it assessed, or give it up.',
  assessed: 'It is assessed: read its summary.',
  abandoned: 'It was given up; register another plan.',
  withdrawn: 'It was taken back; register another plan.',
}

/** The plan is not at the point where this can be done. */
export function wrongState(status: PlanStatus): Refusal {
  return refuse('ERR_PLAN_STATE', `The plan is ${status}. ${NEXT[status]}`)
}

/** Members of a body that are refused. */
export function refusedMembers(errors: readonly FieldProblem[]): Refusal {
  const [first] = errors
  const others = errors.length > 1 ? `, and ${errors.length - 1} more` : ''
  return refuse('ERR_BODY_INVALID', `${first?.pointer ?? ''}: ${first?.detail ?? 'refused'}${others}`, { errors })
}

/** Why a run was not logged. */
export function badRun(outcome: Exclude<LogRunOutcome, { readonly outcome: 'logged' }>): Refusal {
  switch (outcome.outcome) {
    case 'unknown':
      return nothingHere()
    case 'wrong-state':
      return wrongState(outcome.status)
    case 'wrong-challenge':
      return refuse(
        'ERR_PLAN_CHALLENGE',
        'The challenge is not that of this plan; read the plan and send the one it names.',
      )
    case 'other-run':
      return refuse(
        'ERR_RUN_LOGGED',
        'Another run was logged under this id; what is logged stays. Give the run its own id.',
      )
    case 'other-mounting':
      return refuse(
        'ERR_RUN_LOGGED',
        'The mounting was described otherwise with an earlier run; what is logged stays. Leave the mounting out, or send it unchanged.',
      )
    case 'full':
      return refuse('ERR_RUN_LOGGED', 'The plan holds as many runs as a comparison may; close it.')
    case 'refused':
      return refusedMembers(outcome.problems)
  }
}

/**
 * Refuses exclusion rules that the protocol of a plan cannot judge; undefined when it can judge all.
 *
 * @param at JSON Pointer to the plan in the body.
 */
export function refuseUnknownRules(
  { exclusionRules, protocol }: Pick<Plan, 'exclusionRules' | 'protocol'>,
  protocols: Readonly<Record<string, Protocol>>,
  at: string,
): Refusal | undefined {
  const checks = new Set(protocols[protocol]?.checks.map(({ check }) => check))
  const errors = exclusionRules.flatMap((rule, index): FieldProblem[] => {
    if (checks.has(checkOfRule[rule])) return []
    const detail = `${protocol} has no check ${checkOfRule[rule]} to judge the rule "${rule}" by; leave the rule out.`
    return [{ pointer: `${at}/exclusionRules/${index}`, code: 'ERR_NOT_IN_LIST', detail }]
  })
  return errors.length === 0 ? undefined : refusedMembers(errors)
}
