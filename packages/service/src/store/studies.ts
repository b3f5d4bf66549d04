/** Repeatability studies: written once, never changed. */
import { promisify } from 'node:util'
import { gzip } from 'node:zlib'
import type { Studies, StudyEntry } from '../study-ports.ts'
import { note } from './audit.ts'
import { type Database, type DatabaseTransaction, inTransaction, throughOutage } from './database.ts'
import { claimKey } from './idempotency.ts'
import type { StudyRow } from './schema.ts'

const compress = promisify(gzip)

/** How long a request outlasts a database that restarts. [ms] */
const OUTAGE_PATIENCE_MS = 8_000

/** Most entries that one page of a list holds. */
const MOST_PER_PAGE = 200

const ENTRY = ['tenant', 'id', 'created_at', 'facility', 'result'] as const

/** The studies of a database, always within one tenant. */
export function createStudies(db: Database): Studies {
  return {
    register: async (registration) => {
      // Compressed before any connection is taken. Level 1, as for runs.
      const bytes = await compress(registration.study.study, { level: 1 })
      return throughOutage(OUTAGE_PATIENCE_MS, () =>
        inTransaction(db, (transaction) => register(transaction, registration, bytes)),
      )
    },
    find: async (tenant, id) => {
      const row = await db
        .selectFrom('studies')
        .select(ENTRY)
        .where('tenant', '=', tenant)
        .where('id', '=', id)
        .executeTakeFirst()
      return row === undefined ? undefined : entryOf(row)
    },
    list: async (tenant, { before, limit, facility }) => {
      const ofTenant = db.selectFrom('studies').select(ENTRY).where('tenant', '=', tenant)
      const ofFacility = facility === undefined ? ofTenant : ofTenant.where('facility', '=', facility)
      const older = before === undefined ? ofFacility : ofFacility.where('id', '<', before)
      const most = Math.min(Math.max(limit, 1), MOST_PER_PAGE)
      const rows = await older.orderBy('id', 'desc').limit(most).execute()
      return rows.map(entryOf)
    },
  }
}

type Registration = Parameters<Studies['register']>[0]

/** Harmless when it is done a second time: key and identity are the caller's. */
async function register(
  transaction: DatabaseTransaction,
  { tenant, idempotency, study, response }: Registration,
  bytes: Uint8Array,
): ReturnType<Studies['register']> {
  const { id, createdAt, facility, result } = study
  if (idempotency !== null) {
    const claimed = await claimKey(transaction, tenant, idempotency, response, createdAt)
    if (claimed.outcome !== 'unused') return claimed
  }
  const inserted = await transaction
    .insertInto('studies')
    .values({ tenant, id, created_at: createdAt, facility, gzip: bytes, result })
    .onConflict((conflict) => conflict.columns(['tenant', 'id']).doNothing())
    .executeTakeFirst()
  if ((inserted.numInsertedOrUpdatedRows ?? 0n) > 0n) {
    await note(transaction, { tenant, at: createdAt, event: 'study-registered', subject: id })
  }
  return { outcome: 'issued', response }
}

function entryOf({ created_at: createdAt, ...rest }: Omit<StudyRow, 'gzip'>): StudyEntry {
  return { ...rest, createdAt }
}
