/** The door for plans: from a value of unknown shape to a plan that can be frozen. */
import * as z from 'zod/mini'
import type { Claim } from './claim.ts'
import { claimSchema } from './claim-schema.ts'
import type { Comparison } from './comparison.ts'
import { type ComparisonProblem, printed } from './field-problem.ts'
import type { Mounting } from './mounting.ts'
import { mountingSchema } from './mounting-schema.ts'
import type { Plan, PlanRequest } from './plan.ts'
import { frozenPlan, isOneSideFirst, plannedClaims, plannedSlots } from './plan-order.ts'
import { planRequestSchema } from './plan-schema.ts'
import { readComparison } from './read-comparison.ts'
import type { Run } from './run.ts'
import { runSchema } from './run-schema.ts'
import { list } from './schema-parts.ts'
import { schemaProblems } from './schema-problems.ts'

/** A plan that can be registered, or every reason why it cannot. */
export type PlanReading =
  | { readonly ok: true; readonly plan: Plan }
  | { readonly ok: false; readonly problems: readonly ComparisonProblem[] }

/** Most problems of shape that are listed. */
const MOST_PROBLEMS = 50

/** Conditioning runs in each mounting where all runs of one side come first. [1] Source: measurement-model §10. */
export const CONDITIONING_RUNS_ONE_SIDE_FIRST = 3

/** Most measured runs of one plan, so that a comparison has room for the others. [1] */
const MOST_PLANNED_RUNS = 500

/**
 * The plan in a value of unknown shape, frozen: an order that was to be drawn is drawn.
 *
 * @param value a parsed JSON value; not changed. Pure; never throws.
 */
export function readPlan(value: unknown): PlanReading {
  const parsed = planRequestSchema.safeParse(value)
  if (!parsed.success) {
    return refused(planRequestSchema, value, parsed.error.issues)
  }
  const request: PlanRequest = parsed.data
  const form = orderFormProblem(request)
  if (form !== undefined) return { ok: false, problems: [form, ...termProblems(request)] }
  const plan = frozenPlan(request)
  const problems = [...termProblems(request), ...orderProblems(plan)]
  return problems.length === 0 ? { ok: true, plan } : { ok: false, problems }
}

/** The parts that a plan shares with the comparison made under it. */
export function plannedDocument(plan: Omit<Plan, 'blocks'>): Omit<Comparison, 'runs'> {
  const { protocol, reportIn, facility, vehicle, driveTyres, changes } = plan
  return {
    protocol,
    ...(reportIn === undefined ? {} : { reportIn }),
    facility,
    vehicles: [vehicle],
    ...(driveTyres === undefined ? {} : { driveTyres }),
    changes,
    claims: plannedClaims(plan),
  }
}

function orderFormProblem({ blocks, draw }: PlanRequest): ComparisonProblem | undefined {
  if ((blocks === undefined) !== (draw === undefined)) return undefined
  const detail =
    blocks === undefined
      ? 'The order is missing; write it out under `blocks`, or let it be drawn under `draw`.'
      : 'Both `blocks` and `draw` are given; keep one of them.'
  return { pointer: '/blocks', code: 'ERR_PLAN_ORDER', detail }
}

/** What reads a comparison reads the parts that a plan shares with it; only the pointers differ. */
function termProblems(request: PlanRequest): readonly ComparisonProblem[] {
  const read = readComparison({ ...plannedDocument(request), runs: [] })
  const shared = read.ok
    ? []
    : read.problems.map((problem) => ({ ...problem, pointer: pointerInPlan(problem.pointer) }))
  const isTested = request.changes.some(({ role }) => role === 'under-test')
  const detail = 'No change is under test; give the role "under-test" to what the plan is about.'
  return isTested ? shared : [...shared, { pointer: '/changes', code: 'ERR_PLAN_CHANGE', detail }]
}

function pointerInPlan(pointer: string): string {
  return pointer
    .replace(/^\/vehicles\/0/, '/vehicle')
    .replace(/^\/claims\/(\d+)/, (_, index: string) => (index === '0' ? '/primary' : `/further/${Number(index) - 1}`))
}

function orderProblems(plan: Plan): readonly ComparisonProblem[] {
  const problem = (code: 'ERR_PLAN_ORDER' | 'ERR_PLAN_CONDITIONING', pointer: string, detail: string) => ({
    pointer,
    code,
    detail,
  })
  const slots = plannedSlots(plan)
  const problems: ComparisonProblem[] = []
  if (slots.length > MOST_PLANNED_RUNS) {
    const detail = `The plan holds ${slots.length} measured runs; at most ${MOST_PLANNED_RUNS} are read.`
    problems.push(problem('ERR_PLAN_ORDER', '/blocks', detail))
  }
  for (const side of ['baseline', 'modified'] as const) {
    if (slots.some((slot) => slot.side === side)) continue
    problems.push(problem('ERR_PLAN_ORDER', '/blocks', `No run of the side "${side}" is planned; plan at least one.`))
  }
  const split = splitMounting(plan)
  if (split !== undefined) {
    const detail =
      `The mounting ${printed(split)} comes back after another one; a machine that was unstrapped is in a new mounting. ` +
      'Give it another id.'
    problems.push(problem('ERR_PLAN_ORDER', plan.draw === undefined ? '/blocks' : '/draw/mountings', detail))
  }
  if (isOneSideFirst(plan) && plan.conditioningRuns < CONDITIONING_RUNS_ONE_SIDE_FIRST) {
    const detail =
      `All runs of one side come first, so at least ${CONDITIONING_RUNS_ONE_SIDE_FIRST} conditioning runs are needed in each ` +
      `mounting; ${plan.conditioningRuns} ${plan.conditioningRuns === 1 ? 'is' : 'are'} planned. Plan more, or interleave the sides.`
    problems.push(problem('ERR_PLAN_CONDITIONING', '/conditioningRuns', detail))
  }
  return problems
}

function splitMounting({ blocks }: Plan): string | undefined {
  const order = blocks.map(({ mounting }) => mounting).filter((mounting, index, all) => mounting !== all[index - 1])
  return order.find((mounting, index) => order.indexOf(mounting) !== index)
}

/** A run as it is sent under a plan. */
export interface PlanRunParts {
  /** The run. */
  readonly run: Run
  /** Its mounting, where it was sent with it. */
  readonly mounting?: Mounting
}

const runPartsSchema = z.strictObject({ run: runSchema, mounting: z.exactOptional(mountingSchema) })

/** A run and its mounting in values of unknown shape. Their sense depends on the plan. Pure; never throws. */
export function readMountingAndRun({
  run,
  mounting,
}: {
  readonly run: unknown
  readonly mounting: unknown
}): Refused | { readonly ok: true; readonly parts: PlanRunParts } {
  const value = { run, ...(mounting === undefined ? {} : { mounting }) }
  const parsed = runPartsSchema.safeParse(value)
  if (parsed.success) return { ok: true, parts: parsed.data }
  return refused(runPartsSchema, value, parsed.error.issues)
}

const claimsSchema = z.strictObject({ claims: list(claimSchema, 50) })

/** Further claims in a value of unknown shape. Their sense depends on the plan. Pure; never throws. */
export function readPlanClaims(claims: unknown): Refused | { readonly ok: true; readonly claims: readonly Claim[] } {
  const parsed = claimsSchema.safeParse({ claims })
  return parsed.success
    ? { ok: true, claims: parsed.data.claims }
    : refused(claimsSchema, { claims }, parsed.error.issues)
}

interface Refused {
  readonly ok: false
  readonly problems: readonly ComparisonProblem[]
}

function refused(schema: z.ZodMiniType, value: unknown, issues: readonly z.core.$ZodIssue[]): Refused {
  return { ok: false, problems: schemaProblems(schema, value, issues, MOST_PROBLEMS).problems }
}
