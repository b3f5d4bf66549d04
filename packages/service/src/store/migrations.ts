import { createHash } from 'node:crypto'
import { setTimeout as pause } from 'node:timers/promises'
import { sql } from 'kysely'
import { AUDIT_MIGRATIONS } from './audit.ts'
import type { Database } from './database.ts'
import { StoreError } from './failure.ts'
import { LOG_MIGRATIONS } from './log-tables.ts'
import { PLAN_MIGRATIONS } from './plan-migrations.ts'
import { STUDY_MIGRATIONS } from './study-migrations.ts'

/** One step of the schema: one idempotent statement, never edited once released. */
export interface Migration {
  /** Four digits and what it does; sorts in the order of application. */
  readonly name: string
  readonly statement: string
}

/**
 * The schema, from nothing to now.
 *
 * The tenant comes first in every key, so that tables can later be split by tenant. Large bytea columns that are
 * already compressed, or read whole, are stored out of line as they are (`storage external`).
 */
export const MIGRATIONS: readonly Migration[] = [
  {
    name: '0001 organisations',
    statement: `create table if not exists organisations (
      tenant uuid primary key, name text not null, created_at timestamptz not null)`,
  },
  {
    name: '0002 api keys',
    statement: `create table if not exists api_keys (
      tenant uuid not null, id uuid not null, prefix text not null, secret_digest bytea not null,
      scopes jsonb not null, created_at timestamptz not null, revoked_at timestamptz,
      primary key (tenant, id))`,
  },
  {
    name: '0003 api keys by prefix',
    statement: 'create unique index if not exists api_keys_prefix on api_keys (prefix)',
  },
  {
    name: '0004 first start',
    statement: `create table if not exists first_start (
      "only" boolean primary key, tenant uuid not null, at timestamptz not null)`,
  },
  {
    name: '0005 assessments',
    statement: `create table if not exists assessments (
      tenant uuid not null, id uuid not null, created_at timestamptz not null, status text not null,
      jws bytea not null, payload bytea not null, comparison bytea not null, comparison_digest bytea not null,
      primary key (tenant, id))`,
  },
  {
    name: '0006 assessments: signed bytes as they are',
    statement: 'alter table assessments alter column jws set storage external',
  },
  {
    name: '0007 runs',
    statement: `create table if not exists runs (
      tenant uuid not null, digest bytea not null, gzip bytea not null, created_at timestamptz not null,
      primary key (tenant, digest))`,
  },
  {
    name: '0008 runs: gzip as it is',
    statement: 'alter table runs alter column gzip set storage external',
  },
  {
    name: '0009 idempotency',
    statement: `create table if not exists idempotency (
      tenant uuid not null, key text not null, request_digest bytea not null, status integer not null,
      headers jsonb not null, body bytea not null, expires_at timestamptz not null,
      primary key (tenant, key))`,
  },
  {
    name: '0010 idempotency by expiry',
    statement: 'create index if not exists idempotency_expiry on idempotency (expires_at)',
  },
  ...PLAN_MIGRATIONS,
  ...LOG_MIGRATIONS,
  {
    name: '0306 assessments: place in the log',
    statement: 'alter table assessments add column if not exists log jsonb',
  },
  {
    name: '0307 assessments that are not yet logged',
    statement: 'create index if not exists assessments_unlogged on assessments (id) where log is null',
  },
  {
    name: '0308 assessments: publication',
    statement: `alter table assessments add column if not exists published_at timestamptz,
      add column if not exists runs_published boolean, add column if not exists withdrawn_at timestamptz,
      add column if not exists withdrawn_reason text, add column if not exists withdrawal_notice text`,
  },
  {
    name: '0309 assessments by identity alone',
    statement: 'create index if not exists assessments_anywhere on assessments (id)',
  },
  {
    name: '0310 withdrawn runs',
    statement: `create table if not exists withdrawn_runs (
      tenant uuid not null, digest bytea not null, assessment uuid not null, primary key (tenant, digest, assessment))`,
  },
  ...AUDIT_MIGRATIONS,
  ...STUDY_MIGRATIONS,
]

const RECORD = `create table if not exists applied_migrations (
  name text primary key, statement_digest text not null, applied_at timestamptz not null)`

/**
 * What concurrent creation of one object looks like: unique violation in the catalogue, duplicate table, object or
 * column, and "tuple concurrently updated", which PostgreSQL reports as an internal error.
 */
const RACES = new Set(['23505', '42P07', '42710', '42701', 'XX000', '40001', '40P01'])

/** Tries per statement; a race is over once the other replica's statement has committed. */
const ATTEMPTS = 20

/**
 * Brings the schema up to date. Several replicas may do this at once: every statement is idempotent and lost races
 * are run again. Migrations of a newer release are left alone, so that releases can overlap.
 *
 * @throws StoreError `ERR_STORE_REFUSED` when an applied migration had another text: the list was edited.
 */
export async function migrate(
  db: Database,
  now: Date,
  migrations: readonly Migration[] = MIGRATIONS,
): Promise<readonly string[]> {
  const applied = await appliedMigrations(db)
  const ran: string[] = []
  for (const migration of migrations) {
    const digest = digestOf(migration)
    const known = applied.get(migration.name)
    if (known !== undefined && known !== digest) {
      throw new StoreError('ERR_STORE_REFUSED', `migration '${migration.name}' ran here with another text`)
    }
    if (known !== undefined) continue
    await runIdempotent(db, migration.statement)
    await record(db, migration.name, digest, now)
    ran.push(migration.name)
  }
  return ran
}

/** SQLSTATE of a table that is not there. */
const NO_SUCH_TABLE = '42P01'

/** Text digests by name. Where all is applied nothing is created, so that the service's role need not own the schema. */
async function appliedMigrations(db: Database): Promise<ReadonlyMap<string, string>> {
  const read = () => db.selectFrom('applied_migrations').select(['name', 'statement_digest']).execute()
  const rows = await read().catch(async (error: unknown) => {
    if (!(error instanceof StoreError) || error.sqlState !== NO_SUCH_TABLE) throw error
    await runIdempotent(db, RECORD)
    return read()
  })
  return new Map(rows.map((row) => [row.name, row.statement_digest]))
}

async function record(db: Database, name: string, digest: string, now: Date): Promise<void> {
  await db
    .insertInto('applied_migrations')
    .values({ name, statement_digest: digest, applied_at: now })
    .onConflict((conflict) => conflict.column('name').doNothing())
    .execute()
}

async function runIdempotent(db: Database, statement: string): Promise<void> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      await sql.raw(statement).execute(db)
      return
    } catch (error) {
      const raced = error instanceof StoreError && error.sqlState !== null && RACES.has(error.sqlState)
      if (!raced || attempt === ATTEMPTS) throw error
      await pause(5 * attempt)
    }
  }
}

function digestOf(migration: Migration): string {
  return createHash('sha256').update(migration.statement).digest('hex')
}
