/** The assessment of a plan: every logged run, under the terms of the plan, once. */
import type { Claim, Comparison, Facility, FieldProblem, Mounting, RegisteredPlan, Run } from '@fairpull/sdk/contract'
import { plannedDocument, readComparison } from '@fairpull/sdk/contract/schemas'
import { registrationOf } from '@fairpull/sdk/engine'
import { canonicalJson } from '@fairpull/sdk/verify'
import type { PlanRefusal, StoredPlan, StoredPlanRun } from '../plan-ports.ts'
import type { Caller, StoredResponse } from '../ports.ts'
import { type IssuedBytes, keptAnswer } from './assess-comparison.ts'
import { evidenceOf } from './evidence.ts'
import { findLogged, loggedPlace } from './log-summary.ts'
import type { PlanDeps } from './plan-deps.ts'
import { rivalsOf } from './plan-keys.ts'
import { type Acknowledged, recordedPlan, termsOf } from './plan-record.ts'
import { acknowledge, exclusionUnder } from './plan-runs.ts'
import { type WithdrawnEvidence, withdrawnEvidenceIn } from './withdrawn-evidence.ts'

/** A plan to be assessed. */
export interface AssessPlanRequest {
  readonly caller: Caller
  readonly id: string
  /** Claims beside the registered ones; they are judged as exploratory. */
  readonly exploratory: readonly Claim[]
  /** Withdrawn summary that the new one replaces; null for none. */
  readonly supersedes: string | null
  /** The answer to be given. */
  readonly answer: (issued: IssuedBytes) => StoredResponse
}

/** What became of it. */
export type AssessPlanOutcome =
  | { readonly outcome: 'issued'; readonly response: StoredResponse }
  /** Assessed before. */
  | { readonly outcome: 'assessed'; readonly assessment: IssuedBytes }
  /** The further claims cannot be read. */
  | { readonly outcome: 'refused'; readonly problems: readonly FieldProblem[] }
  | WithdrawnEvidence
  | PlanRefusal

/**
 * Assesses a closed plan, signs the summary and stores both, once in the life of the plan.
 *
 * Every logged run is used, or left out by a rule of the plan that saw neither side nor gain. What the judgement needs of
 * the register stands in the comparison, so that the result remains a function of it. Runs of a withdrawn summary are not
 * signed again unless the new one names it.
 *
 * @throws StoreError from the store.
 */
export async function assessPlan(request: AssessPlanRequest, deps: PlanDeps): Promise<AssessPlanOutcome> {
  const { caller, id } = request
  const plan = await deps.store.plans.find(caller.tenant, id)
  if (plan === undefined) return { outcome: 'unknown' }
  if (plan.assessment !== null) return assessedBefore(caller.tenant, plan.assessment, deps)
  if (plan.status !== 'closed') return { outcome: 'wrong-state', status: plan.status }

  const runs = await loggedRuns(plan, deps)
  const comparison = await comparisonUnder(plan, runs, request.exploratory, deps)
  const read = readComparison(comparison)
  if (!read.ok) return { outcome: 'refused', problems: claimProblems(read.problems, comparison, request.exploratory) }
  return issued(request, plan, { comparison, runs }, deps)
}

async function issued(
  request: AssessPlanRequest,
  plan: StoredPlan,
  { comparison, runs }: { readonly comparison: Comparison; readonly runs: readonly Acknowledged<StoredPlanRun>[] },
  deps: PlanDeps,
): Promise<AssessPlanOutcome> {
  const { caller, supersedes } = request
  const result = await deps.assessor.assess(comparison)
  const { runs: stored, ...evidence } = evidenceOf(comparison, result.inputs)
  const withdrawn = await withdrawnEvidenceIn(stored, { tenant: caller.tenant, supersedes }, deps.store)
  if (withdrawn !== undefined) return withdrawn
  const id = deps.ids.next()
  const createdAt = afterAll(runs, deps.clock.now())
  const registration = registrationOf(comparison.plan)
  const { jws, payload } = await deps.signer.sign({
    issue: {
      id,
      issuer: deps.issuer,
      submitter: caller.organisation,
      issuedAt: createdAt.toISOString(),
      supersedes,
      registration,
      receipts: registration === 'none' ? [] : runs.map(({ acknowledged }) => acknowledged.receipt),
    },
    result,
  })
  const outcome = await deps.store.plans.issue(plan.id, {
    tenant: caller.tenant,
    assessment: { id, createdAt, jws, payload, ...evidence },
    runs: stored,
    response: keptAnswer(id),
  })
  if (outcome.outcome === 'assessed') return assessedBefore(caller.tenant, outcome.assessment, deps)
  if (outcome.outcome !== 'issued') return outcome
  const log = await loggedPlace({ tenant: caller.tenant, id, jws, log: null }, deps)
  return { outcome: 'issued', response: request.answer({ id, jws, payload, log }) }
}

/** A summary is not signed before its last run arrived, also where that was at a replica whose clock is ahead. */
function afterAll(runs: readonly { readonly receivedAt: Date }[], now: Date): Date {
  return new Date(Math.max(now.getTime(), ...runs.map(({ receivedAt }) => receivedAt.getTime())))
}

async function assessedBefore(tenant: string, id: string, deps: PlanDeps): Promise<AssessPlanOutcome> {
  const assessment = await findLogged(tenant, id, deps)
  if (assessment === undefined) throw new TypeError('an assessed plan has a summary')
  return { outcome: 'assessed', assessment }
}

/** A run that was numbered before a stop, and never logged, is logged now. */
async function loggedRuns(plan: StoredPlan, deps: PlanDeps): Promise<readonly Acknowledged<StoredPlanRun>[]> {
  const logged: Acknowledged<StoredPlanRun>[] = []
  for (const run of await deps.store.plans.runs(plan.tenant, plan.id)) logged.push(await acknowledge(plan, run, deps))
  return logged
}

async function comparisonUnder(
  plan: StoredPlan,
  logged: readonly Acknowledged<StoredPlanRun>[],
  exploratory: readonly Claim[],
  deps: PlanDeps,
): Promise<Comparison> {
  const terms = termsOf(plan)
  const document = plannedDocument(terms)
  const runs = logged.map(({ bytes }): Run => JSON.parse(Buffer.from(bytes).toString('utf8')))
  const excluded = runs.flatMap((run) => {
    const exclusion = exclusionUnder(plan, run)
    return exclusion === null ? [] : { run: run.id, ...exclusion }
  })
  const registered: RegisteredPlan = {
    ...recordedPlan(plan, logged),
    facilityRecord: await originOfRecord(plan.tenant, terms.facility, deps),
    ...rivalsOf(plan, await deps.store.plans.siblings(plan.tenant, plan.keys.product)),
  }
  return {
    ...document,
    mountings: mountingsOf(runs, logged),
    runs,
    ...(excluded.length === 0 ? {} : { excluded }),
    claims: [...(document.claims ?? []), ...exploratory],
    plan: registered,
  }
}

/** Every mounting as it was described with one of its runs; by its id alone where it never was. */
function mountingsOf(runs: readonly Run[], logged: readonly Acknowledged<StoredPlanRun>[]): readonly Mounting[] {
  const described = new Map(
    logged.flatMap(({ mounting }) =>
      mounting === null ? [] : [[mounting.id, JSON.parse(Buffer.from(mounting.bytes).toString('utf8')) as Mounting]],
    ),
  )
  const ids = [...new Set(runs.flatMap(({ mounting }) => mounting ?? []))]
  return ids.map((id) => described.get(id) ?? { id })
}

/** A record counts as issued when the register knows it under its study, of this facility and value for value. */
async function originOfRecord(
  tenant: string,
  { id: facility, record }: Facility,
  { issuedRecords }: PlanDeps,
): Promise<RegisteredPlan['facilityRecord']> {
  if (record === undefined) return 'none'
  const known = record.study === undefined ? undefined : await issuedRecords.find(tenant, record.study, facility)
  return known !== undefined && canonicalJson(known) === canonicalJson(record) ? 'issued' : 'uploaded'
}

/** Only the further claims are the caller's own words; they stand at the end of the list. */
function claimProblems(
  problems: readonly FieldProblem[],
  { claims = [] }: Comparison,
  exploratory: readonly Claim[],
): readonly FieldProblem[] {
  const first = claims.length - exploratory.length
  return problems.map((problem) => ({
    ...problem,
    pointer: problem.pointer.replace(/^\/claims\/(\d+)/, (_, index: string) => `/claims/${Number(index) - first}`),
  }))
}
