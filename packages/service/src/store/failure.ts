import pg from 'pg'

/**
 * Why the store could not do its work.
 *
 * - `ERR_STORE_UNAVAILABLE`: no connection, or it broke; the same request may succeed in a moment.
 * - `ERR_STORE_CONTENDED`: serialization failure or deadlock, still there after all retries.
 * - `ERR_STORE_FULL`: no room left on the disk of the database.
 * - `ERR_STORE_REFUSED`: the database refused the statement; a defect on our side.
 */
export type StoreErrorCode = 'ERR_STORE_UNAVAILABLE' | 'ERR_STORE_CONTENDED' | 'ERR_STORE_FULL' | 'ERR_STORE_REFUSED'

/** The only error that leaves the store. Its message holds no values of rows. */
export class StoreError extends Error {
  override readonly name = 'StoreError'
  readonly code: StoreErrorCode
  /** Five characters of the SQL standard's class and subclass; null where the database did not answer. */
  readonly sqlState: string | null

  constructor(code: StoreErrorCode, message: string, options: { sqlState?: string | null; cause?: unknown } = {}) {
    super(message, { cause: options.cause })
    this.code = code
    this.sqlState = options.sqlState ?? null
  }
}

/** Serialization failure and deadlock: the transaction left no trace and may be run again. */
const CONTENTION = new Set(['40001', '40P01'])

/** Disk full. */
const FULL = new Set(['53100'])

/** Too many connections, shutdown, crash recovery, start-up, read-only after a failover. */
const UNAVAILABLE = new Set(['53300', '57P01', '57P02', '57P03', '57P05', '25006'])

/**
 * The store's own error for whatever the driver threw.
 *
 * Everything that is no answer of the database is a broken connection: the driver gives those no common code.
 * SQLSTATE class 08 is the standard's class for connection exceptions.
 * Source: PostgreSQL 18 documentation, appendix A.
 */
export function storeError(cause: unknown): StoreError {
  if (cause instanceof StoreError) return cause
  if (!(cause instanceof pg.DatabaseError)) {
    return new StoreError('ERR_STORE_UNAVAILABLE', 'the database does not answer', { cause })
  }
  const sqlState = cause.code ?? null
  return new StoreError(codeOf(sqlState), `the database answered ${sqlState ?? 'without a state'}`, { sqlState, cause })
}

function codeOf(sqlState: string | null): StoreErrorCode {
  if (sqlState === null) return 'ERR_STORE_UNAVAILABLE'
  if (CONTENTION.has(sqlState)) return 'ERR_STORE_CONTENDED'
  if (FULL.has(sqlState)) return 'ERR_STORE_FULL'
  if (UNAVAILABLE.has(sqlState) || sqlState.startsWith('08')) return 'ERR_STORE_UNAVAILABLE'
  return 'ERR_STORE_REFUSED'
}

/** Why the service could not start. Each sentence names one obstacle and what to do about it. */
export class StartRefused extends Error {
  override readonly name = 'StartRefused'
  readonly obstacles: readonly Obstacle[]

  constructor(obstacles: readonly Obstacle[], options: { cause?: unknown } = {}) {
    super(obstacles.map((obstacle) => obstacle.sentence).join('\n'), options)
    this.obstacles = obstacles
  }
}

/** One thing that keeps the service from starting. */
export interface Obstacle {
  readonly code: ObstacleCode
  /** For the operator: what is wrong, and what to do. */
  readonly sentence: string
}

/** Stable names of the obstacles. */
export type ObstacleCode =
  | 'ERR_MUSL'
  | 'ERR_NO_PLATFORM_PACKAGE'
  | 'ERR_NO_UNPRIVILEGED_USER'
  | 'ERR_USER_WITHOUT_ENTRY'
  | 'ERR_NOEXEC'
  | 'ERR_BINARIES_DO_NOT_RUN'
  | 'ERR_FOLDER_NOT_WRITABLE'
  | 'ERR_DISK_FULL'
  | 'ERR_SOCKET_PATH_TOO_LONG'
  | 'ERR_DATA_FOLDER_IN_USE'
  | 'ERR_DATA_FOLDER_DAMAGED'
  | 'ERR_OTHER_DATABASE_VERSION'
  | 'ERR_DATABASE_DOES_NOT_START'
  | 'ERR_DATABASE_UNREACHABLE'
  | 'ERR_ADDRESS_UNAVAILABLE'
  | 'ERR_KEY_FILE_EXPOSED'
  | 'ERR_KEY_FILE_DAMAGED'
  | 'ERR_LOG_MARK_DAMAGED'
  | 'ERR_LOG_ORIGIN'
  | 'ERR_TRUST_LIST'
