import { sql } from 'kysely'
import type { PlanStore } from '../plan-ports.ts'
import { createApiKeys } from './api-keys.ts'
import { createAssessments } from './assessments.ts'
import { noteTrustList } from './audit.ts'
import { type Database, type DatabaseConnection, openDatabase, throughServerStart } from './database.ts'
import { startEmbeddedPostgres } from './embedded-postgres.ts'
import { StartRefused, StoreError } from './failure.ts'
import { createIdempotencyRecords } from './idempotency.ts'
import { issue } from './issue.ts'
import { createLogStorage } from './log-tables.ts'
import { migrate } from './migrations.ts'
import { createPlans } from './plans.ts'
import { createRuns } from './runs.ts'
import { createStudies } from './studies.ts'

/** How long a start outlasts a server that itself is just starting. [ms] */
const START_PATIENCE_MS = 30_000

/** Where the record is kept. */
export interface StoreOptions {
  /** Absolute path of the data folder; holds the embedded database. */
  readonly dataFolder: string
  /** A PostgreSQL server to use in place of the embedded database. */
  readonly databaseUrl?: string | undefined
  /** User the embedded database runs as when this process is root. */
  readonly databaseUser?: string | undefined
  /** Told in one sentence what is happening, for the operator. */
  readonly notify: (sentence: string) => void
  /** Told when the data folder was lost to another process; this one must end. */
  readonly onLost: (reason: StartRefused) => void
}

/**
 * Opens the record: on the server of `databaseUrl`, else on the embedded database; and brings its tables up to date.
 *
 * @throws StartRefused with one sentence per obstacle.
 */
export async function openStore(options: StoreOptions): Promise<PlanStore> {
  const { connection, stop } = await reach(options)
  const db = openDatabase(connection, () => undefined)
  try {
    await throughServerStart(START_PATIENCE_MS, () => migrate(db, new Date()))
  } catch (error) {
    await db.destroy()
    await stop()
    throw refusal(error)
  }
  return createStore(db, stop)
}

/** The record over an open database whose tables are up to date. */
export function createStore(db: Database, stop: () => Promise<void>): PlanStore {
  return {
    assessments: createAssessments(db),
    runs: createRuns(db),
    idempotency: createIdempotencyRecords(db),
    plans: createPlans(db),
    studies: createStudies(db),
    apiKeys: createApiKeys(db),
    logStorage: createLogStorage(db),
    issue: (issuance) => issue(db, issuance),
    noteTrustList: (digest, at) => noteTrustList(db, digest, at),
    check: () => checkWritable(db),
    close: async () => {
      await db.destroy()
      await stop()
    },
  }
}

async function reach(options: StoreOptions): Promise<{ connection: DatabaseConnection; stop: () => Promise<void> }> {
  const { databaseUrl } = options
  if (databaseUrl !== undefined) {
    return { connection: { connectionString: databaseUrl }, stop: () => Promise.resolve() }
  }
  return startEmbeddedPostgres(options)
}

/** A server that has become a standby answers, but takes no writes. */
async function checkWritable(db: Database): Promise<void> {
  const { rows } = await sql<{
    readOnly: string
  }>`select current_setting('transaction_read_only') as "readOnly"`.execute(db)
  if (rows[0]?.readOnly !== 'off') throw new StoreError('ERR_STORE_UNAVAILABLE', 'the database takes no writes')
}

/** The server's address may hold a password and is not repeated. */
function refusal(cause: unknown): unknown {
  if (!(cause instanceof StoreError)) return cause
  const state = cause.sqlState === null ? '' : ` (SQLSTATE ${cause.sqlState})`
  const sentence = `The database cannot be used: ${cause.message}${state}; check DATABASE_URL and that its user may create tables.`
  return new StartRefused([{ code: 'ERR_DATABASE_UNREACHABLE', sentence }], { cause })
}
