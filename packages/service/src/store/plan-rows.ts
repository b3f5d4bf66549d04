/** Rows of plans as the use cases know them. */
import { promisify } from 'node:util'
import { gunzip } from 'node:zlib'
import type { PlanRuleName } from '@fairpull/sdk/contract'
import type { PlanRunEntry, StoredPlan, StoredPlanRun, StoredPlanVersion } from '../plan-ports.ts'
import type { Database } from './database.ts'
import type { PlanRow, PlanRunRow, PlanVersionRow } from './plan-schema.ts'

const decompress = promisify(gunzip)

/** Which plan. */
export interface PlanPlace {
  readonly tenant: string
  readonly id: string
}

/** The plan with its versions; undefined when this tenant has none of this identity. */
export async function findPlan(db: Database, { tenant, id }: PlanPlace): Promise<StoredPlan | undefined> {
  const row = await db
    .selectFrom('plans')
    .selectAll()
    .where('tenant', '=', tenant)
    .where('id', '=', id)
    .executeTakeFirst()
  return row === undefined ? undefined : withVersions(db, row)
}

/** A plan row with its versions. */
export async function withVersions(db: Database, row: PlanRow): Promise<StoredPlan> {
  const versions = await db
    .selectFrom('plan_versions')
    .selectAll()
    .where('tenant', '=', row.tenant)
    .where('plan', '=', row.id)
    .orderBy('version')
    .execute()
  const { created_at: createdAt, product, vehicle, quantity, ...rest } = row
  return { ...rest, createdAt, keys: { product, vehicle, quantity }, versions: versions.map(versionOf) }
}

function versionOf(row: PlanVersionRow): StoredPlanVersion {
  return {
    version: row.version,
    at: row.at,
    reason: row.reason,
    logIndex: Number(row.log_index),
    afterFirstRun: row.after_first_run,
    terms: row.terms,
  }
}

/** A version as a row. */
export function versionRow({ tenant, id }: PlanPlace, version: StoredPlanVersion): PlanVersionRow {
  return {
    tenant,
    plan: id,
    version: version.version,
    at: version.at,
    reason: version.reason,
    log_index: version.logIndex,
    after_first_run: version.afterFirstRun,
    terms: version.terms,
  }
}

/** A run row without its bytes. */
export function planRunEntry(row: Omit<PlanRunRow, 'gzip'>): PlanRunEntry {
  const { mounting, mounting_digest: digest, mounting_json: bytes } = row
  return {
    number: row.number,
    run: row.run,
    digest: row.digest,
    mounting: mounting === null || digest === null || bytes === null ? null : { id: mounting, digest, bytes },
    receivedAt: row.received_at,
    excludedBy: row.excluded_by as PlanRuleName | null,
    acknowledged:
      row.log_index === null || row.receipt === null ? null : { logIndex: Number(row.log_index), receipt: row.receipt },
  }
}

/** A run row, decompressed. */
export async function planRunOf(row: PlanRunRow): Promise<StoredPlanRun> {
  return { ...planRunEntry(row), bytes: await decompress(row.gzip) }
}

/** Changes columns of a plan. */
export async function changePlan(
  db: Database,
  { tenant, id }: PlanPlace,
  columns: Partial<Omit<PlanRow, 'tenant' | 'id'>>,
): Promise<void> {
  await db.updateTable('plans').set(columns).where('tenant', '=', tenant).where('id', '=', id).execute()
}
