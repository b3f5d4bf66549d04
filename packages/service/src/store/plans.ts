/** Registered plans. Whatever changes a plan holds its row first, so that changes of one plan come one after another. */
import type { PlanListEntry, Plans, SiblingPlan, StoredPlan } from '../plan-ports.ts'
import { note } from './audit.ts'
import { type Database, type DatabaseTransaction, inTransaction, throughOutage } from './database.ts'
import { claimKey } from './idempotency.ts'
import { issueWithin } from './issue.ts'
import { changePlan, findPlan, planRunEntry, planRunOf, versionRow, withVersions } from './plan-rows.ts'
import { acknowledgeRun, numberRun } from './plan-runs.ts'
import { PLAN_RUN_ENTRY } from './plan-schema.ts'
import { compressRuns } from './runs.ts'

/** How long a request outlasts a database that restarts. [ms] */
const OUTAGE_PATIENCE_MS = 8_000

/** Most entries that one page of a list holds. */
const MOST_PER_PAGE = 200

/** The plans of a database. */
export function createPlans(db: Database): Plans {
  return {
    register: (registration) => held(db, (transaction) => register(transaction, registration)),
    find: (tenant, id) => findPlan(db, { tenant, id }),
    list: (tenant, page) => listPlans(db, tenant, page),
    entries: async (tenant, id) => {
      const rows = await db
        .selectFrom('plan_runs')
        .select(PLAN_RUN_ENTRY)
        .where('tenant', '=', tenant)
        .where('plan', '=', id)
        .orderBy('number')
        .execute()
      return rows.map(planRunEntry)
    },
    runs: async (tenant, id) => {
      const rows = await db
        .selectFrom('plan_runs')
        .selectAll()
        .where('tenant', '=', tenant)
        .where('plan', '=', id)
        .orderBy('number')
        .execute()
      return Promise.all(rows.map(planRunOf))
    },
    number: (tenant, id, run) => numberRun(db, { tenant, id }, run, OUTAGE_PATIENCE_MS),
    acknowledge: (tenant, id, number, acknowledgement) =>
      throughOutage(OUTAGE_PATIENCE_MS, () => acknowledgeRun(db, { tenant, id }, number, acknowledgement)),
    amend: (tenant, id, amendment) => held(db, (transaction) => amend(transaction, { tenant, id }, amendment)),
    end: (tenant, id, status, at) => held(db, (transaction) => end(transaction, { tenant, id }, { status, at })),
    siblings: (tenant, product) => siblings(db, 'tenant', tenant, product),
    ofPublisher: (publisher, product) => siblings(db, 'publisher', publisher, product),
    issue: async (id, { runs, ...issuance }) => {
      const compressed = await compressRuns(runs)
      return held(db, async (transaction) => {
        const plan = await heldPlan(transaction, { tenant: issuance.tenant, id })
        if (plan === undefined) return { outcome: 'unknown' }
        if (plan.assessment !== null) return { outcome: 'assessed', assessment: plan.assessment }
        if (plan.status !== 'closed') return { outcome: 'wrong-state', status: plan.status }
        await issueWithin(transaction, { ...issuance, idempotency: null, runs }, compressed)
        await changePlan(transaction, plan, { status: 'assessed', assessment: issuance.assessment.id })
        return { outcome: 'issued', response: issuance.response }
      })
    },
  }
}

/** Every change is harmless when it is made a second time, so that a lost database is outlasted. */
function held<T>(db: Database, work: (transaction: DatabaseTransaction) => Promise<T>): Promise<T> {
  return throughOutage(OUTAGE_PATIENCE_MS, () => inTransaction(db, work))
}

type Registration = Parameters<Plans['register']>[0]

async function register(
  transaction: DatabaseTransaction,
  { tenant, idempotency, plan, response }: Registration,
): ReturnType<Plans['register']> {
  if (idempotency !== null) {
    const claimed = await claimKey(transaction, tenant, idempotency, response, plan.createdAt)
    if (claimed.outcome !== 'unused') return claimed
  }
  const { id, publisher, keys, challenge, salt, planned } = plan
  const row = { tenant, id, created_at: plan.createdAt, publisher, ...keys, challenge, salt, planned }
  const inserted = await transaction
    .insertInto('plans')
    .values({ ...row, status: 'open', counted: 0, logged: 0, assessment: null })
    .onConflict((conflict) => conflict.columns(['tenant', 'id']).doNothing())
    .executeTakeFirst()
  if ((inserted.numInsertedOrUpdatedRows ?? 0n) > 0n) {
    const versions = plan.versions.map((version) => versionRow({ tenant, id }, version))
    await transaction.insertInto('plan_versions').values(versions).execute()
    await note(transaction, { tenant, at: plan.createdAt, event: 'plan-registered', subject: id })
  }
  return { outcome: 'issued', response }
}

async function listPlans(
  db: Database,
  tenant: string,
  page: { readonly before?: string; readonly limit: number },
): Promise<readonly PlanListEntry[]> {
  const limit = Math.min(Math.max(page.limit, 1), MOST_PER_PAGE)
  const ofTenant = db
    .selectFrom('plans')
    .select(['id', 'created_at', 'status', 'assessment', 'product'])
    .where('tenant', '=', tenant)
  const after = page.before === undefined ? ofTenant : ofTenant.where('id', '<', page.before)
  const rows = await after.orderBy('id', 'desc').limit(limit).execute()
  return rows.map(({ created_at: createdAt, ...rest }) => ({ ...rest, createdAt }))
}

/** The plan, its row locked until the transaction ends. */
async function heldPlan(
  transaction: DatabaseTransaction,
  { tenant, id }: { readonly tenant: string; readonly id: string },
): Promise<StoredPlan | undefined> {
  const row = await transaction
    .selectFrom('plans')
    .selectAll()
    .where('tenant', '=', tenant)
    .where('id', '=', id)
    .forUpdate()
    .executeTakeFirst()
  return row === undefined ? undefined : withVersions(transaction, row)
}

async function amend(
  transaction: DatabaseTransaction,
  place: { readonly tenant: string; readonly id: string },
  { expected, version, keys, planned }: Parameters<Plans['amend']>[2],
): ReturnType<Plans['amend']> {
  const plan = await heldPlan(transaction, place)
  if (plan === undefined) return { outcome: 'unknown' }
  if (plan.status !== 'open' && plan.status !== 'running') return { outcome: 'wrong-state', status: plan.status }
  if (plan.versions.length !== expected) return { outcome: 'overtaken' }
  const added = { ...version, afterFirstRun: plan.logged > 0 }
  await transaction.insertInto('plan_versions').values(versionRow(place, added)).execute()
  await note(transaction, { tenant: plan.tenant, at: version.at, event: 'plan-amended', subject: plan.id })
  const isComplete = plan.logged > 0 && plan.counted >= planned
  await changePlan(transaction, plan, { ...keys, planned, ...(isComplete ? { status: 'closed' } : {}) })
  return done(await findPlan(transaction, place))
}

/** From which states a plan can be ended how. */
const ENDINGS = { closed: ['running'], abandoned: ['running', 'closed'], withdrawn: ['open'] } as const

async function end(
  transaction: DatabaseTransaction,
  place: { readonly tenant: string; readonly id: string },
  { status, at }: { readonly status: keyof typeof ENDINGS; readonly at: Date },
): ReturnType<Plans['end']> {
  const plan = await heldPlan(transaction, place)
  if (plan === undefined) return { outcome: 'unknown' }
  if (plan.status === status) return done(plan)
  const from: readonly string[] = ENDINGS[status]
  if (!from.includes(plan.status)) return { outcome: 'wrong-state', status: plan.status }
  await changePlan(transaction, plan, { status })
  await note(transaction, { tenant: plan.tenant, at, event: `plan-${status}`, subject: plan.id })
  return done({ ...plan, status })
}

function done(plan: StoredPlan | undefined): Awaited<ReturnType<Plans['end']>> {
  return plan === undefined ? { outcome: 'unknown' } : { outcome: 'done', plan }
}

/** In the order of registration: identities of version 7 begin with their time. */
async function siblings(
  db: Database,
  whose: 'tenant' | 'publisher',
  name: string,
  product: string,
): Promise<readonly SiblingPlan[]> {
  const rows = await db
    .selectFrom('plans')
    .leftJoin('assessments', (join) =>
      join.onRef('assessments.tenant', '=', 'plans.tenant').onRef('assessments.id', '=', 'plans.assessment'),
    )
    .select(['plans.id', 'plans.status', 'plans.product', 'plans.vehicle', 'plans.quantity', 'plans.logged'])
    .select('assessments.status as assessed')
    .where(`plans.${whose}`, '=', name)
    .where('plans.product', '=', product)
    .orderBy('plans.id')
    .execute()
  return rows.map(({ id, status, vehicle, quantity, logged, assessed }) => ({
    id,
    status,
    keys: { product, vehicle, quantity },
    logged,
    isPublished: assessed === 'published',
  }))
}
