import { setTimeout as pause } from 'node:timers/promises'
import { Kysely, PostgresDialect, type PostgresPool, type PostgresPoolClient, type Transaction } from 'kysely'
import pg, { type PoolConfig } from 'pg'
import { StoreError, storeError } from './failure.ts'
import type { Tables } from './schema.ts'

/** Typed access to the tables. */
export type Database = Kysely<Tables>

/** The same within one transaction. */
export type DatabaseTransaction = Transaction<Tables>

/** How to reach a database. */
export type DatabaseConnection = Pick<
  PoolConfig,
  'connectionString' | 'host' | 'port' | 'user' | 'password' | 'database'
>

/** Limits of a connection pool. */
export interface PoolLimits {
  /** Connections of this process. */
  readonly connections: number
  /** How long a request waits for a connection. [ms] */
  readonly connectTimeout_ms: number
  /** How long one statement may run. [ms] */
  readonly statementTimeout_ms: number
}

/** Limits for one process on a small machine. */
export const POOL_LIMITS: PoolLimits = { connections: 10, connectTimeout_ms: 5_000, statementTimeout_ms: 30_000 }

/**
 * Opens a pool of connections; none is made until one is needed.
 *
 * Every error that comes out of a query is a `StoreError`.
 *
 * @param onConnectionLost told of connections that broke while no query was running on them; the pool replaces them.
 */
export function openDatabase(
  connection: DatabaseConnection,
  onConnectionLost: (error: Error) => void,
  limits: PoolLimits = POOL_LIMITS,
): Database {
  const pool = new pg.Pool({
    ...connection,
    max: limits.connections,
    connectionTimeoutMillis: limits.connectTimeout_ms,
    statement_timeout: limits.statementTimeout_ms,
    idle_in_transaction_session_timeout: limits.statementTimeout_ms,
    application_name: 'fairpull',
    keepAlive: true,
  })
  pool.on('error', onConnectionLost)
  // A connection that breaks while a transaction holds it reports to nobody else, and would end the process.
  pool.on('connect', (client) => client.on('error', () => undefined))
  return new Kysely<Tables>({ dialect: new PostgresDialect({ pool: translatingPool(pool) }) })
}

/** The pool with every failure told in the store's own terms. */
function translatingPool(pool: pg.Pool): PostgresPool {
  return {
    connect: async () => {
      try {
        return translatingClient(await pool.connect())
      } catch (cause) {
        throw storeError(cause)
      }
    },
    end: () => pool.end(),
  }
}

function translatingClient(client: pg.PoolClient): PostgresPoolClient {
  const query = async (statement: string, parameters: readonly unknown[]) => {
    try {
      return await client.query(statement, [...parameters])
    } catch (cause) {
      throw storeError(cause)
    }
  }
  return {
    // The second form of this method reads through a cursor, which no query here does.
    query: query as unknown as PostgresPoolClient['query'],
    release: (destroy) => client.release(destroy),
  }
}

/** How often a transaction is run before contention is given up. */
const TRANSACTION_ATTEMPTS = 10

/**
 * Runs `work` in one transaction, again when the database reports a serialization failure (40001) or a deadlock
 * (40P01). `work` may therefore run several times and must have no effect outside the transaction.
 *
 * The pause before attempt n is drawn evenly from 0 to 2ⁿ ms, capped at 200 ms: whoever collided parts ways.
 *
 * @throws StoreError `ERR_STORE_CONTENDED` after the last attempt; every other error at once.
 */
export async function inTransaction<T>(
  db: Database,
  work: (transaction: DatabaseTransaction) => Promise<T>,
): Promise<T> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      return await db.transaction().execute(work)
    } catch (error) {
      const contended = error instanceof StoreError && error.code === 'ERR_STORE_CONTENDED'
      if (!contended || attempt === TRANSACTION_ATTEMPTS) throw error
      await pause(Math.random() * Math.min(2 ** attempt, 200))
    }
  }
}

/** Longest pause between attempts to reach a lost database. [ms] */
const RECONNECT_PAUSE_MS = 250

/**
 * Runs `work` again while the database is away, until `patience_ms` have passed.
 *
 * Only for work whose second run is harmless when the first was committed after all and only its answer was lost.
 */
export function throughOutage<T>(patience_ms: number, work: () => Promise<T>): Promise<T> {
  return again(patience_ms, work, ({ code }) => code === 'ERR_STORE_UNAVAILABLE')
}

/** SQLSTATE of a server that takes no connections yet: it starts, or recovers from a crash. Source: PostgreSQL 18, appendix A. */
const STARTING = '57P03'

/** Runs `work` again while the server says that it is just starting; one that is not there, or refuses, is not waited for. */
export function throughServerStart<T>(patience_ms: number, work: () => Promise<T>): Promise<T> {
  return again(patience_ms, work, ({ sqlState }) => sqlState === STARTING)
}

async function again<T>(
  patience_ms: number,
  work: () => Promise<T>,
  isPassing: (error: StoreError) => boolean,
): Promise<T> {
  const end = performance.now() + patience_ms
  for (;;) {
    try {
      return await work()
    } catch (error) {
      const isAway = error instanceof StoreError && isPassing(error)
      if (!isAway || performance.now() + RECONNECT_PAUSE_MS > end) throw error
      await pause(RECONNECT_PAUSE_MS)
    }
  }
}
