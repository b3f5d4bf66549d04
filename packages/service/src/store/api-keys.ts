import { timingSafeEqual } from 'node:crypto'
import type { ApiKeys, Caller, StoredApiKey } from '../ports.ts'
import { parseApiKey } from './api-key-text.ts'
import { note } from './audit.ts'
import { type Database, type DatabaseTransaction, inTransaction } from './database.ts'
import type { ApiKeyRow } from './schema.ts'

/** Stands in for the digest of an unknown key, so that the comparison takes place all the same. */
const NO_DIGEST = new Uint8Array(32)

/** API keys of organisations. */
export function createApiKeys(db: Database): ApiKeys {
  return {
    authenticate: (text) => authenticate(db, text),
    create: async (key) => {
      await db.insertInto('api_keys').values(apiKeyRow(key)).execute()
    },
    revoke: (tenant, id, now) =>
      inTransaction(db, async (transaction) => {
        const revoked = await transaction
          .updateTable('api_keys')
          .set({ revoked_at: now })
          .where('tenant', '=', tenant)
          .where('id', '=', id)
          .where('revoked_at', 'is', null)
          .executeTakeFirst()
        if (revoked.numUpdatedRows === 0n) return false
        await note(transaction, { tenant, at: now, event: 'key-revoked', subject: id })
        return true
      }),
    organisations: async () => {
      const rows = await db.selectFrom('organisations').select(['tenant', 'name']).orderBy('tenant').execute()
      return rows.map(({ tenant, name }) => ({ id: tenant, name }))
    },
    addOrganisation: ({ id, name }, now) =>
      inTransaction(db, async (transaction) => {
        await transaction.insertInto('organisations').values({ tenant: id, name, created_at: now }).execute()
        await note(transaction, { tenant: id, at: now, event: 'organisation-added', subject: id })
      }),
    list: async (tenant) => {
      const rows = await db.selectFrom('api_keys').selectAll().where('tenant', '=', tenant).orderBy('id').execute()
      return rows.map(storedKey)
    },
    add: (key, mostActive) =>
      inTransaction(db, async (transaction) => {
        // The organisation is held, so that two operators do not both see room for one more.
        await transaction
          .selectFrom('organisations')
          .select('tenant')
          .where('tenant', '=', key.tenant)
          .forUpdate()
          .execute()
        const active = await transaction
          .selectFrom('api_keys')
          .select('id')
          .where('tenant', '=', key.tenant)
          .where('revoked_at', 'is', null)
          .execute()
        if (active.length >= mostActive) return false
        await transaction.insertInto('api_keys').values(apiKeyRow(key)).execute()
        await note(transaction, { tenant: key.tenant, at: key.createdAt, event: 'key-added', subject: key.id })
        return true
      }),
    createFirst: (organisation, key) =>
      inTransaction(db, async (transaction) => {
        if (!(await claimFirstStart(transaction, organisation.id, key.createdAt))) return false
        await transaction
          .insertInto('organisations')
          .values({ tenant: organisation.id, name: organisation.name, created_at: key.createdAt })
          .execute()
        await transaction.insertInto('api_keys').values(apiKeyRow(key)).execute()
        const entry = { tenant: organisation.id, at: key.createdAt }
        await note(transaction, { ...entry, event: 'organisation-added', subject: organisation.id })
        await note(transaction, { ...entry, event: 'key-added', subject: key.id })
        return true
      }),
  }
}

async function authenticate(db: Database, text: string): Promise<Caller | undefined> {
  const sent = parseApiKey(text)
  if (sent === undefined) return undefined
  const row = await db
    .selectFrom('api_keys')
    .innerJoin('organisations', 'organisations.tenant', 'api_keys.tenant')
    .select(['api_keys.tenant', 'api_keys.id', 'api_keys.secret_digest', 'api_keys.scopes', 'organisations.name'])
    .where('api_keys.prefix', '=', sent.prefix)
    .where('api_keys.revoked_at', 'is', null)
    .executeTakeFirst()
  const matches = timingSafeEqual(row?.secret_digest ?? NO_DIGEST, sent.secretDigest)
  if (row === undefined || !matches) return undefined
  return { tenant: row.tenant, organisation: row.name, apiKey: row.id, scopes: row.scopes as readonly string[] }
}

/** The single row's primary key lets one transaction through; a concurrent one waits for it and finds the row. */
async function claimFirstStart(transaction: DatabaseTransaction, tenant: string, at: Date): Promise<boolean> {
  const claimed = await transaction
    .insertInto('first_start')
    .values({ only: true, tenant, at })
    .onConflict((conflict) => conflict.column('only').doNothing())
    .executeTakeFirst()
  return (claimed.numInsertedOrUpdatedRows ?? 0n) > 0n
}

function storedKey(row: ApiKeyRow): StoredApiKey {
  return {
    tenant: row.tenant,
    id: row.id,
    prefix: row.prefix,
    secretDigest: row.secret_digest,
    scopes: row.scopes as readonly string[],
    createdAt: row.created_at,
    revokedAt: row.revoked_at,
  }
}

function apiKeyRow(key: Omit<StoredApiKey, 'revokedAt'>): ApiKeyRow {
  return {
    tenant: key.tenant,
    id: key.id,
    prefix: key.prefix,
    secret_digest: key.secretDigest,
    scopes: JSON.stringify(key.scopes),
    created_at: key.createdAt,
    revoked_at: null,
  }
}
