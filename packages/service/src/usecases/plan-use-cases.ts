/** What the service can do with registered plans, each tied to the world it works in. */
import type { Comparison, PlanCounters, PlanRecord, Run } from '@fairpull/sdk/contract'
import { digestBytes } from '../digest-bytes.ts'
import type { PlanListEntry, PlanRefusal } from '../plan-ports.ts'
import type { IssueOutcome } from '../ports.ts'
import { type AssessPlanOutcome, type AssessPlanRequest, assessPlan } from './assess-plan.ts'
import { planCounters } from './plan-counters.ts'
import type { PlanDeps } from './plan-deps.ts'
import { planRecord } from './plan-record.ts'
import { type LogRunOutcome, logRun, type PlanRunSubmission } from './plan-runs.ts'
import {
  type AmendPlanOutcome,
  type AmendPlanRequest,
  amendPlan,
  type RegisterPlanRequest,
  registerPlan,
} from './register-plan.ts'

/** A plan as answered, or why it was not changed. */
export type PlanRecordOutcome<Refusal> = { readonly outcome: 'done'; readonly record: PlanRecord } | Refusal

/** One page of a list of plans. */
export interface PlanPage {
  readonly entries: readonly PlanListEntry[]
  /** Identity after which the next page begins; null after the last one. */
  readonly next: string | null
}

/** What the service can do with plans. */
export interface PlanUseCases {
  /** Commits, stores, answers with the challenge. */
  readonly register: (request: RegisterPlanRequest) => Promise<IssueOutcome>
  /** Logs a new version. */
  readonly amend: (
    request: AmendPlanRequest,
  ) => Promise<PlanRecordOutcome<Exclude<AmendPlanOutcome, { readonly outcome: 'done' }>>>
  /** One plan of an organisation; undefined for a missing one and for another organisation's alike. */
  readonly find: (tenant: string, id: string) => Promise<PlanRecord | undefined>
  /** One page of the plans of an organisation, newest first. */
  readonly list: (
    tenant: string,
    page: { readonly after: string | undefined; readonly limit: number },
  ) => Promise<PlanPage>
  /** Numbers and logs a run. */
  readonly logRun: (tenant: string, id: string, submission: PlanRunSubmission) => Promise<LogRunOutcome>
  /** Ends a plan before its time. */
  readonly end: (
    tenant: string,
    id: string,
    status: 'closed' | 'abandoned' | 'withdrawn',
  ) => Promise<PlanRecordOutcome<PlanRefusal>>
  /** Assesses all runs of a closed plan. */
  readonly assess: (request: AssessPlanRequest) => Promise<AssessPlanOutcome>
  /** The comparison that was judged; undefined while the plan is not assessed. */
  readonly comparison: (tenant: string, id: string) => Promise<Comparison | undefined>
  /** What the plans of a publisher for a product came to. */
  readonly counters: (asked: { readonly publisher: string; readonly product: string }) => Promise<PlanCounters>
}

/** The use cases over the world that they are given. */
export function createPlanUseCases(deps: PlanDeps): PlanUseCases {
  const { plans } = deps.store
  const find = async (tenant: string, id: string) => {
    const plan = await plans.find(tenant, id)
    return plan === undefined ? undefined : planRecord(plan, await plans.entries(tenant, id), deps.issuer)
  }
  const answered = async (tenant: string, id: string) => {
    const record = await find(tenant, id)
    return record === undefined ? ({ outcome: 'unknown' } as const) : ({ outcome: 'done', record } as const)
  }
  return {
    register: (request) => registerPlan(request, deps),
    amend: async (request) => {
      const outcome = await amendPlan(request, deps)
      return outcome.outcome === 'done' ? answered(request.tenant, request.id) : outcome
    },
    find,
    list: async (tenant, { after, limit }) => {
      const found = await plans.list(tenant, { ...(after === undefined ? {} : { before: after }), limit: limit + 1 })
      const entries = found.slice(0, limit)
      return { entries, next: found.length > limit ? (entries.at(-1)?.id ?? null) : null }
    },
    logRun: (tenant, id, submission) => logRun(tenant, id, submission, deps),
    end: async (tenant, id, status) => {
      const outcome = await plans.end(tenant, id, status, deps.clock.now())
      return outcome.outcome === 'done' ? answered(tenant, id) : outcome
    },
    assess: (request) => assessPlan(request, deps),
    comparison: (tenant, id) => comparisonOf(tenant, id, deps),
    counters: (asked) => planCounters(asked, deps),
  }
}

/** The stored comparison with its runs put back in the place of their digests. */
async function comparisonOf(tenant: string, id: string, { store }: PlanDeps): Promise<Comparison | undefined> {
  const plan = await store.plans.find(tenant, id)
  const assessment =
    plan === undefined || plan.assessment === null ? undefined : await store.assessments.find(tenant, plan.assessment)
  if (assessment === undefined) return undefined
  const { runs: digests, ...document } = JSON.parse(Buffer.from(assessment.comparison).toString('utf8'))
  const runs: Run[] = []
  for (const digest of digests as readonly string[]) {
    const bytes = await store.runs.find(tenant, digestBytes(digest))
    if (bytes === undefined) throw new TypeError('a stored comparison has all its runs')
    runs.push(JSON.parse(Buffer.from(bytes).toString('utf8')))
  }
  return { ...document, runs }
}
