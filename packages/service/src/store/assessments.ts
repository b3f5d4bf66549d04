import type { LogReceipt } from '@fairpull/sdk/contract'
import { sql } from 'kysely'
import type { AssessmentListEntry, Assessments, NewAssessment } from '../ports.ts'
import { assessmentOf } from './assessment-row.ts'
import type { Database, DatabaseTransaction } from './database.ts'
import { createPublicity } from './publicity.ts'

/** Most entries that one page of a list holds. */
const MOST_PER_PAGE = 200

/** Reads assessments, always within one tenant. */
export function createAssessments(db: Database): Assessments {
  return {
    find: async (tenant, id) => {
      const row = await db
        .selectFrom('assessments')
        .selectAll()
        .where('tenant', '=', tenant)
        .where('id', '=', id)
        .executeTakeFirst()
      return row === undefined ? undefined : assessmentOf(row)
    },
    list: (tenant, page) => listAssessments(db, tenant, page),
    ...createPublicity(db),
    place: async (tenant, id, log) => {
      const row = await db
        .updateTable('assessments')
        .set({ log: sql`coalesce(log, ${JSON.stringify(log)}::jsonb)` })
        .where('tenant', '=', tenant)
        .where('id', '=', id)
        .returning('log')
        .executeTakeFirst()
      return (row?.log as LogReceipt | undefined) ?? log
    },
    unlogged: async (limit) => {
      const columns = ['tenant', 'id', 'jws'] as const
      const unlogged = db.selectFrom('assessments').select(columns).where('log', 'is', null)
      const rows = await unlogged.orderBy('id').limit(limit).execute()
      return rows.map(({ tenant, id, jws }) => ({ tenant, id, jws: Buffer.from(jws).toString('ascii') }))
    },
  }
}

/** UUIDs of version 7 begin with their time, so the key itself is the order and the cursor. */
async function listAssessments(
  db: Database,
  tenant: string,
  page: { readonly before?: string; readonly limit: number },
): Promise<readonly AssessmentListEntry[]> {
  const limit = Math.min(Math.max(page.limit, 1), MOST_PER_PAGE)
  const ofTenant = db.selectFrom('assessments').select(['id', 'created_at', 'status']).where('tenant', '=', tenant)
  const after = page.before === undefined ? ofTenant : ofTenant.where('id', '<', page.before)
  const rows = await after.orderBy('id', 'desc').limit(limit).execute()
  return rows.map((row) => ({ id: row.id, createdAt: row.created_at, status: row.status }))
}

/** Adds an assessment; one that is there already under this identity is left as it is. @returns whether it was added. */
export async function insertAssessment(
  transaction: DatabaseTransaction,
  tenant: string,
  assessment: NewAssessment,
): Promise<boolean> {
  const inserted = await transaction
    .insertInto('assessments')
    .values({
      tenant,
      id: assessment.id,
      created_at: assessment.createdAt,
      status: 'private',
      jws: Buffer.from(assessment.jws, 'ascii'),
      payload: assessment.payload,
      comparison: assessment.comparison,
      comparison_digest: assessment.comparisonDigest,
      log: null,
      published_at: null,
      runs_published: null,
      withdrawn_at: null,
      withdrawn_reason: null,
      withdrawal_notice: null,
    })
    .onConflict((conflict) => conflict.columns(['tenant', 'id']).doNothing())
    .executeTakeFirst()
  return (inserted.numInsertedOrUpdatedRows ?? 0n) > 0n
}
