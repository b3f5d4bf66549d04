/** Plans are registered and amended: first the commitment in the log, then the answer. */
import type { Plan, PlanRecord } from '@fairpull/sdk/contract'
import { plannedSlots } from '@fairpull/sdk/contract/schemas'
import { canonicalJsonBytes, planLogEntry } from '@fairpull/sdk/verify'
import type { AmendOutcome, NewPlan, StoredPlan } from '../plan-ports.ts'
import type { Caller, IdempotencyClaim, IssueOutcome, StoredResponse } from '../ports.ts'
import type { PlanDeps } from './plan-deps.ts'
import { planKeys } from './plan-keys.ts'
import { lastOf, planRecord, termsOf } from './plan-record.ts'

/** A plan to be registered. */
export interface RegisterPlanRequest {
  readonly caller: Caller
  /** Read by `readPlan`, under a protocol that this service has. */
  readonly plan: Plan
  /** The caller's key for repetitions; null when there is none. */
  readonly repetition: { readonly key: string; readonly requestDigest: Uint8Array } | null
  /** The answer to be given, and to be kept for repetitions. */
  readonly answer: (record: PlanRecord) => StoredResponse
}

/** How long an answer is kept for repetitions. [ms] */
const REPETITIONS_KEPT_MS = 24 * 60 * 60 * 1000

/**
 * Registers a plan.
 *
 * 1. A repetition is answered with the first answer. 2. The salted commitment goes into the log. 3. Only then is the plan
 * stored and its challenge told: whoever has a challenge shows that the plan came first. An entry of the log whose plan was
 * not stored, because the process ended in between, is one that nobody can open.
 *
 * @throws StoreError from the store; nothing is registered then.
 */
export async function registerPlan(request: RegisterPlanRequest, deps: PlanDeps): Promise<IssueOutcome> {
  const { caller, plan: terms } = request
  const now = deps.clock.now()
  const idempotency = claimOf(request, now)
  const earlier = idempotency === null ? undefined : await deps.store.idempotency.find(caller.tenant, idempotency, now)
  if (earlier !== undefined && earlier.outcome !== 'unused') return earlier

  const id = deps.ids.next()
  const salt = deps.secrets.next()
  const logIndex = await committed({ id, salt }, { version: 1, reason: null, terms }, deps)
  const createdAt = deps.clock.now()
  const plan: NewPlan = {
    id,
    createdAt,
    publisher: caller.organisation,
    keys: planKeys(terms),
    challenge: deps.secrets.next(),
    salt,
    planned: plannedSlots(terms).length,
    versions: [
      { version: 1, at: createdAt, reason: null, logIndex, afterFirstRun: false, terms: canonicalJsonBytes(terms) },
    ],
  }
  const stored: StoredPlan = {
    ...plan,
    tenant: caller.tenant,
    status: 'open',
    counted: 0,
    logged: 0,
    assessment: null,
  }
  const response = request.answer(planRecord(stored, [], deps.issuer))
  return deps.store.plans.register({ tenant: caller.tenant, idempotency, plan, response })
}

function claimOf({ repetition }: RegisterPlanRequest, now: Date): IdempotencyClaim | null {
  return repetition === null ? null : { ...repetition, expiresAt: new Date(now.getTime() + REPETITIONS_KEPT_MS) }
}

/** Index of the commitment to a version. */
async function committed(
  { id, salt }: Pick<StoredPlan, 'id' | 'salt'>,
  version: { readonly version: number; readonly reason: string | null; readonly terms: Plan },
  { log }: PlanDeps,
): Promise<number> {
  const [logIndex] = await log.append([await planLogEntry({ plan: id, ...version }, salt)])
  if (logIndex === undefined) throw new TypeError('the log told no place for the entry of a plan')
  return logIndex
}

/** A change of a plan, with its reason. */
export interface AmendPlanRequest {
  readonly tenant: string
  readonly id: string
  readonly reason: string
  /** All terms of the new version. */
  readonly plan: Plan
}

/** What became of an amendment, or which frozen member it would change. */
export type AmendPlanOutcome = AmendOutcome | { readonly outcome: 'frozen'; readonly member: 'product' | 'vehicle' }

/**
 * Logs a new version of a plan. The product and the machine cannot be amended: that would be another plan.
 *
 * Terms that are already those of the plan change nothing, so that a repeated amendment is one amendment.
 *
 * @throws StoreError from the store.
 */
export async function amendPlan(request: AmendPlanRequest, deps: PlanDeps): Promise<AmendPlanOutcome> {
  const { tenant, id, reason, plan: terms } = request
  const plan = await deps.store.plans.find(tenant, id)
  if (plan === undefined) return { outcome: 'unknown' }
  if (plan.status !== 'open' && plan.status !== 'running') return { outcome: 'wrong-state', status: plan.status }
  const keys = planKeys(terms)
  if (keys.product !== plan.keys.product) return { outcome: 'frozen', member: 'product' }
  if (keys.vehicle !== plan.keys.vehicle) return { outcome: 'frozen', member: 'vehicle' }

  const bytes = canonicalJsonBytes(terms)
  const last = lastOf(plan.versions)
  if (Buffer.compare(bytes, canonicalJsonBytes(termsOf(plan))) === 0) return { outcome: 'done', plan }
  const version = last.version + 1
  const logIndex = await committed(plan, { version, reason, terms }, deps)
  return deps.store.plans.amend(tenant, id, {
    expected: last.version,
    version: { version, at: deps.clock.now(), reason, logIndex, terms: bytes },
    keys,
    planned: plannedSlots(terms).length,
  })
}
