/** Bodies of the operations of plans: strict, each with an example. */
import type { Claim, FieldProblem, Plan } from '@fairpull/sdk/contract'
import { readMountingAndRun, readPlan, readPlanClaims } from '@fairpull/sdk/contract/schemas'
import type { PlanRunSubmission } from '../usecases/plan-runs.ts'
import { fieldProblem, unknownMembers } from './body-members.ts'
import type { BodyFormat, BodyOutcome } from './operation.ts'
import { amendmentExample, planExamples, planRunExample } from './plan-examples.ts'

/** A plan as the whole body. */
export const planBody: BodyFormat<Plan> = {
  schema: 'PlanRequest',
  examples: planExamples,
  read: (value) => {
    const read = readPlan(value)
    return read.ok ? { ok: true, body: read.plan } : read
  },
}

/** A run with the challenge of its plan. */
export const planRunBody: BodyFormat<PlanRunSubmission> = {
  schema: 'PlanRunSubmission',
  examples: { conditioning: planRunExample },
  read: (value) => {
    const members = membersOf(value, ['challenge', 'run', 'mounting'])
    if (!members.ok) return members
    const { challenge, run, mounting } = members.body
    const problems = typeof challenge === 'string' ? [] : [textProblem('/challenge', challenge)]
    const read = readMountingAndRun({ run, mounting })
    if (!read.ok || typeof challenge !== 'string') {
      return { ok: false, problems: [...problems, ...(read.ok ? [] : read.problems)] }
    }
    return { ok: true, body: { challenge, ...read.parts } }
  },
}

/** A new version of a plan, and why. */
export interface Amendment {
  readonly reason: string
  readonly plan: Plan
}

/** An amendment as the whole body. */
export const amendmentBody: BodyFormat<Amendment> = {
  schema: 'PlanAmendmentRequest',
  examples: { oneRunMore: amendmentExample },
  read: (value) => {
    const members = membersOf(value, ['reason', 'plan'])
    if (!members.ok) return members
    const { reason } = members.body
    const isReason = typeof reason === 'string' && /^[^\p{Cc}\p{Cs}]{1,2000}$/u.test(reason)
    const problems = isReason ? [] : [textProblem('/reason', reason)]
    const read = readPlan(members.body.plan)
    const inside = read.ok ? [] : read.problems.map((each) => ({ ...each, pointer: `/plan${each.pointer}` }))
    if (!isReason || !read.ok) return { ok: false, problems: [...problems, ...inside] }
    return { ok: true, body: { reason, plan: read.plan } }
  },
}

/** Further claims of the assessment of a plan. */
export const planAssessmentBody: BodyFormat<readonly Claim[]> = {
  schema: 'PlanAssessmentRequest',
  examples: { registeredClaimsOnly: {} },
  read: (value) => {
    const members = membersOf(value, ['claims'])
    if (!members.ok) return members
    const read = readPlanClaims(members.body.claims ?? [])
    return read.ok ? { ok: true, body: read.claims } : read
  },
}

type Members = Readonly<Record<string, unknown>>

/** The members of an object, when it has no other. */
function membersOf(value: unknown, known: readonly string[]): BodyOutcome<Members> {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    return { ok: false, problems: [fieldProblem('', 'ERR_WRONG_TYPE', `Give an object with ${known.join(', ')}.`)] }
  }
  const strangers = Object.keys(value).filter((name) => !known.includes(name))
  if (strangers.length === 0) return { ok: true, body: value as Members }
  const detail = `Nobody knows this member here; known: ${known.join(', ')}.`
  return { ok: false, problems: unknownMembers(strangers, detail) }
}

function textProblem(pointer: string, value: unknown): FieldProblem {
  if (value === undefined) return fieldProblem(pointer, 'ERR_MISSING_MEMBER', 'The member is missing; it is text.')
  if (typeof value !== 'string') return fieldProblem(pointer, 'ERR_WRONG_TYPE', 'Give text.')
  return fieldProblem(pointer, 'ERR_BAD_TEXT', 'Give text of 1 to 2000 characters, without control characters.')
}
