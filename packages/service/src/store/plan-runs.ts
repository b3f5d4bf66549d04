/** Runs of plans: each numbered once, without gaps, whichever replica takes it. */
import { promisify } from 'node:util'
import { gzip } from 'node:zlib'
import { MAX_RUNS } from '@fairpull/sdk/contract/schemas'
import type { Acknowledgement, NewPlanRun, NumberOutcome } from '../plan-ports.ts'
import { note } from './audit.ts'
import { type Database, type DatabaseTransaction, inTransaction, throughOutage } from './database.ts'
import { changePlan, type PlanPlace, planRunEntry, withVersions } from './plan-rows.ts'
import { PLAN_RUN_ENTRY, type PlanRow, type PlanRunRow } from './plan-schema.ts'

const compress = promisify(gzip)

/**
 * Gives a run its number.
 *
 * 1. The run is compressed, before any connection is taken. 2. The row of the plan is locked: whoever numbers a run of the
 * same plan waits. 3. A run that has a number keeps it. 4. Else the next number is taken, in the transaction that also
 * writes it into the plan: either both are there or neither. 5. The run that was the last one planned closes the plan.
 */
export async function numberRun(
  db: Database,
  place: PlanPlace,
  run: NewPlanRun,
  patience_ms: number,
): Promise<NumberOutcome> {
  const compressed = await compress(run.bytes, { level: 1 })
  return throughOutage(patience_ms, () =>
    inTransaction(db, (transaction) => numberWithin(transaction, place, run, compressed)),
  )
}

async function numberWithin(
  transaction: DatabaseTransaction,
  { tenant, id }: PlanPlace,
  run: NewPlanRun,
  compressed: Uint8Array,
): Promise<NumberOutcome> {
  const plan = await transaction
    .selectFrom('plans')
    .selectAll()
    .where('tenant', '=', tenant)
    .where('id', '=', id)
    .forUpdate()
    .executeTakeFirst()
  if (plan === undefined) return { outcome: 'unknown' }
  const known = await runNamed(transaction, plan, run.run)
  if (known !== undefined) return numberedBefore(transaction, plan, known, run)
  if (plan.status !== 'open' && plan.status !== 'running') return { outcome: 'wrong-state', status: plan.status }
  if (plan.logged >= MAX_RUNS) return { outcome: 'full' }
  if (await isOtherMounting(transaction, plan, run)) return { outcome: 'other-mounting' }

  const row = runRow(plan, run, compressed)
  await transaction.insertInto('plan_runs').values(row).execute()
  const counted = plan.counted + (run.isCounted ? 1 : 0)
  const status = counted >= plan.planned ? 'closed' : 'running'
  const changed = { logged: row.number, counted, status } as const
  await changePlan(transaction, plan, changed)
  await note(transaction, { tenant, at: run.receivedAt, event: 'plan-run-logged', subject: id })
  return {
    outcome: 'numbered',
    isNew: true,
    run: planRunEntry(row),
    plan: await withVersions(transaction, { ...plan, ...changed }),
  }
}

type EntryRow = Omit<PlanRunRow, 'gzip'>

function runNamed(transaction: DatabaseTransaction, plan: PlanRow, run: string): Promise<EntryRow | undefined> {
  return transaction
    .selectFrom('plan_runs')
    .select(PLAN_RUN_ENTRY)
    .where('tenant', '=', plan.tenant)
    .where('plan', '=', plan.id)
    .where('run', '=', run)
    .executeTakeFirst()
}

/** The same run has the same number; a mounting that was described with it is not described again. */
async function numberedBefore(
  transaction: DatabaseTransaction,
  plan: PlanRow,
  known: EntryRow,
  run: NewPlanRun,
): Promise<NumberOutcome> {
  if (known.digest !== run.digest) return { outcome: 'other-run' }
  if (known.mounting_digest !== (run.mounting?.digest ?? null)) return { outcome: 'other-mounting' }
  return {
    outcome: 'numbered',
    isNew: false,
    run: planRunEntry(known),
    plan: await withVersions(transaction, plan),
  }
}

async function isOtherMounting(
  transaction: DatabaseTransaction,
  plan: PlanRow,
  { mounting }: NewPlanRun,
): Promise<boolean> {
  if (mounting === null) return false
  const other = await transaction
    .selectFrom('plan_runs')
    .select('number')
    .where('tenant', '=', plan.tenant)
    .where('plan', '=', plan.id)
    .where('mounting', '=', mounting.id)
    .where('mounting_digest', '<>', mounting.digest)
    .limit(1)
    .executeTakeFirst()
  return other !== undefined
}

function runRow({ tenant, id, logged }: PlanRow, run: NewPlanRun, compressed: Uint8Array): PlanRunRow {
  return {
    tenant,
    plan: id,
    number: logged + 1,
    run: run.run,
    digest: run.digest,
    gzip: compressed,
    mounting: run.mounting?.id ?? null,
    mounting_digest: run.mounting?.digest ?? null,
    mounting_json: run.mounting?.bytes ?? null,
    received_at: run.receivedAt,
    excluded_by: run.excludedBy,
    log_index: null,
    receipt: null,
  }
}

/** Notes entry and receipt of a run, unless that was done before. @returns what stays. */
export async function acknowledgeRun(
  db: Database,
  { tenant, id }: PlanPlace,
  number: number,
  { logIndex, receipt }: Acknowledgement,
): Promise<Acknowledgement> {
  await db
    .updateTable('plan_runs')
    .set({ log_index: logIndex, receipt })
    .where('tenant', '=', tenant)
    .where('plan', '=', id)
    .where('number', '=', number)
    .where('receipt', 'is', null)
    .execute()
  const row = await db
    .selectFrom('plan_runs')
    .select(['log_index', 'receipt'])
    .where('tenant', '=', tenant)
    .where('plan', '=', id)
    .where('number', '=', number)
    .executeTakeFirstOrThrow()
  return { logIndex: Number(row.log_index), receipt: row.receipt ?? receipt }
}
