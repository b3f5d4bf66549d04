import { timingSafeEqual } from 'node:crypto'
import { sql } from 'kysely'
import type { IdempotencyClaim, IdempotencyLookup, IdempotencyRecords, StoredResponse } from '../ports.ts'
import type { Database, DatabaseTransaction } from './database.ts'
import { StoreError } from './failure.ts'

/** The record of answered requests. */
export function createIdempotencyRecords(db: Database): IdempotencyRecords {
  return {
    find: (tenant, claim, now) => lookUp(db, tenant, claim, now),
    purge: async (now, limit) => {
      const expired = db
        .selectFrom('idempotency')
        .select(['tenant', 'key'])
        .where('expires_at', '<=', now)
        .orderBy('expires_at')
        .limit(limit)
        .forUpdate()
        .skipLocked()
      const deleted = await db
        .deleteFrom('idempotency')
        .where((row) => row(row.refTuple('tenant', 'key'), 'in', expired.$asTuple('tenant', 'key')))
        .executeTakeFirst()
      return Number(deleted.numDeletedRows)
    },
  }
}

/**
 * Takes a key for one request, or says who has it.
 *
 * An insert meets the primary key. When another transaction has inserted the same key and not yet ended, PostgreSQL
 * waits for it here: if it commits, its answer is read and returned; if it rolls back, this insert takes its place.
 * A record past its expiry is overwritten as if it were not there.
 *
 * @returns `unused` when the key is now held by this transaction, with `response` recorded.
 * @throws StoreError `ERR_STORE_CONTENDED` when the record was purged between the insert and the reading: run again.
 */
export async function claimKey(
  transaction: DatabaseTransaction,
  tenant: string,
  claim: IdempotencyClaim,
  response: StoredResponse,
  now: Date,
): Promise<IdempotencyLookup> {
  const record = {
    request_digest: claim.requestDigest,
    status: response.status,
    headers: JSON.stringify(response.headers),
    body: response.body,
    expires_at: claim.expiresAt,
  }
  const taken = await transaction
    .insertInto('idempotency')
    .values({ tenant, key: claim.key, ...record })
    .onConflict((conflict) =>
      conflict.columns(['tenant', 'key']).doUpdateSet(record).where('idempotency.expires_at', '<=', now),
    )
    .returning(sql<number>`1`.as('one'))
    .executeTakeFirst()
  if (taken !== undefined) return { outcome: 'unused' }
  const earlier = await lookUp(transaction, tenant, claim, now)
  if (earlier.outcome === 'unused')
    throw new StoreError('ERR_STORE_CONTENDED', 'the record of this key was just purged')
  return earlier
}

async function lookUp(db: Database, tenant: string, claim: IdempotencyClaim, now: Date): Promise<IdempotencyLookup> {
  const row = await db
    .selectFrom('idempotency')
    .select(['request_digest', 'status', 'headers', 'body'])
    .where('tenant', '=', tenant)
    .where('key', '=', claim.key)
    .where('expires_at', '>', now)
    .executeTakeFirst()
  if (row === undefined) return { outcome: 'unused' }
  if (!sameBytes(row.request_digest, claim.requestDigest)) return { outcome: 'conflict' }
  return {
    outcome: 'replayed',
    response: { status: row.status, headers: row.headers as StoredResponse['headers'], body: row.body },
  }
}

function sameBytes(one: Uint8Array, other: Uint8Array): boolean {
  return one.length === other.length && timingSafeEqual(one, other)
}
