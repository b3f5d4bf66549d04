/** What makes an assessment public, and what takes it back. */
import { sql } from 'kysely'
import { digestBytes } from '../digest-bytes.ts'
import type { Assessments } from '../ports.ts'
import { assessmentOf } from './assessment-row.ts'
import { note } from './audit.ts'
import { type Database, type DatabaseTransaction, inTransaction } from './database.ts'

/** The part of the assessments that changes who may read them. */
export function createPublicity(
  db: Database,
): Pick<Assessments, 'publish' | 'withdraw' | 'findAnywhere' | 'withdrawnWith'> {
  return {
    publish: (tenant, id, { at, withRuns }) =>
      inTransaction(db, async (transaction) => {
        const published = await transaction
          .updateTable('assessments')
          .set({
            status: 'published',
            published_at: sql`coalesce(published_at, ${at}::timestamptz)`,
            runs_published: sql`coalesce(runs_published, false) or ${withRuns}::boolean`,
          })
          .where('tenant', '=', tenant)
          .where('id', '=', id)
          .where('status', '!=', 'withdrawn')
          .where((row) =>
            row.or([
              row('status', '!=', 'published'),
              row.and([row.lit(withRuns), row('runs_published', 'is not', true)]),
            ]),
          )
          .executeTakeFirst()
        if (published.numUpdatedRows > 0n) {
          await note(transaction, { tenant, at, event: 'assessment-published', subject: id })
        }
        return findOne(transaction, id, tenant)
      }),
    withdraw: (tenant, id, { at, reason, notice }) =>
      inTransaction(db, async (transaction) => {
        const withdrawn = await transaction
          .updateTable('assessments')
          .set({ status: 'withdrawn', withdrawn_at: at, withdrawn_reason: reason, withdrawal_notice: notice })
          .where('tenant', '=', tenant)
          .where('id', '=', id)
          .where('status', '!=', 'withdrawn')
          .returning('comparison')
          .executeTakeFirst()
        if (withdrawn !== undefined) {
          await noteRuns(transaction, tenant, id, withdrawn.comparison)
          await note(transaction, { tenant, at, event: 'assessment-withdrawn', subject: id })
        }
        return findOne(transaction, id, tenant)
      }),
    findAnywhere: (id) => findOne(db, id),
    withdrawnWith: async (tenant, runs) => {
      if (runs.length === 0) return []
      const rows = await db
        .selectFrom('withdrawn_runs')
        .select('assessment')
        .distinct()
        .where('tenant', '=', tenant)
        .where('digest', 'in', [...runs])
        .orderBy('assessment')
        .execute()
      return rows.map(({ assessment }) => assessment)
    },
  }
}

async function findOne(db: Database, id: string, tenant?: string) {
  const anywhere = db.selectFrom('assessments').selectAll().where('id', '=', id)
  const row = await (tenant === undefined ? anywhere : anywhere.where('tenant', '=', tenant)).executeTakeFirst()
  return row === undefined ? undefined : assessmentOf(row)
}

/** The stored comparison names its runs by their digests. */
async function noteRuns(transaction: DatabaseTransaction, tenant: string, id: string, comparison: Uint8Array) {
  const { runs } = JSON.parse(Buffer.from(comparison).toString('utf8')) as { readonly runs: readonly string[] }
  const digests = [...new Set(runs)].map(digestBytes)
  if (digests.length === 0) return
  await transaction
    .insertInto('withdrawn_runs')
    .values(digests.map((digest) => ({ tenant, digest, assessment: id })))
    .onConflict((conflict) => conflict.doNothing())
    .execute()
}
