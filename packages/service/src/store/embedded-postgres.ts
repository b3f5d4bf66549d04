import { setTimeout as pause } from 'node:timers/promises'
import pg from 'pg'
import type { DatabaseConnection } from './database.ts'
import { openCluster } from './embedded/cluster.ts'
import { type Machine, thisMachine } from './embedded/machine.ts'
import { databaseDoesNotStart, dataFolderDamaged, dataFolderInUse } from './embedded/obstacles.ts'
import { ensurePostmaster, type RunningPostmaster, stopPostmaster } from './embedded/postmaster.ts'
import { type PreflightOptions, type Preparation, preflight } from './embedded/preflight.ts'
import { accessThrough, ensureRoles, writerProcess } from './embedded/roles.ts'
import { takeWriterPlace } from './embedded/writer-place.ts'
import { type Obstacle, StartRefused } from './failure.ts'
import { removeAbandonedDrafts } from './folder.ts'

/** How an embedded database is run. */
export interface EmbeddedPostgresOptions extends PreflightOptions {
  /** Told in one sentence what is happening, for the operator. */
  readonly notify: (sentence: string) => void
  /** Told when the data folder was lost to another process; this one must end. */
  readonly onLost: (reason: StartRefused) => void
  /** The machine, where it is not this one. */
  readonly machine?: Machine
}

/** A running database, supervised by this process. */
export interface EmbeddedPostgres {
  /** How to reach it; stays the same when it is started again. */
  readonly connection: DatabaseConnection
  /** Whether it was running already, left by a process that had been killed. */
  readonly adopted: boolean
  /** PostgreSQL's data directory. */
  readonly cluster: string
  /** Stops it. Its connections should be closed before. */
  stop(): Promise<void>
}

/**
 * Starts PostgreSQL on a data folder, or adopts the one that runs there, and keeps it running.
 *
 * One process at a time holds a data folder. When the database ends under it, it is started again.
 *
 * @throws StartRefused with one sentence per obstacle.
 */
export async function startEmbeddedPostgres(options: EmbeddedPostgresOptions): Promise<EmbeddedPostgres> {
  const machine = options.machine ?? thisMachine()
  const prepared = await preflight(machine, options)
  const password = await openCluster(machine, prepared, options.notify)
  const { running, stop } = await supervise(prepared, password, options)
  if (running.adopted) options.notify('The database of an earlier service still runs and is used again.')
  await removeAbandonedDrafts(prepared.home.folder)
  const connection = accessThrough(running.socketFolder, password).service
  return { connection, adopted: running.adopted, cluster: prepared.home.cluster, stop }
}

/** Between attempts to bring a lost database back, for as long as it takes: a full disk may be freed. [ms] */
const RECOVERY_PAUSE_MS = 500

/**
 * Holds the database: it runs, it has its roles, and this process has the writer's place. The connection that is the
 * place ends with the database, and so tells at once when to start that again.
 */
async function supervise(
  prepared: Preparation,
  password: string,
  options: EmbeddedPostgresOptions,
): Promise<{ running: RunningPostmaster; stop: () => Promise<void> }> {
  let state: 'held' | 'lost' | 'stopping' = 'held'
  let recovery: Promise<void> = Promise.resolve()
  const onPlaceLost = () => {
    if (state === 'held') recovery = recover()
  }
  const running = await hold(prepared, password, onPlaceLost)
  // The pool keeps its address, so a database that is started again has its socket where this one has it.
  const settled = { ...prepared, socketFolder: running.socketFolder }
  const recover = async () => {
    options.notify('The database has stopped; starting it again.')
    while (state === 'held') {
      try {
        await hold(settled, password, onPlaceLost)
        return options.notify('The database runs again.')
      } catch (error) {
        if (isInUse(error)) {
          state = 'lost'
          return options.onLost(error)
        }
        await pause(RECOVERY_PAUSE_MS)
      }
    }
  }
  const stop = async () => {
    if (state === 'held') state = 'stopping'
    await recovery
    if (state === 'lost') return
    const isStopped = await stopPostmaster(prepared.home.cluster)
    if (!isStopped) options.notify('The database is still shutting down; it ends by itself.')
  }
  return { running, stop }
}

/** How long a start outlasts a database that another process is just stopping, or that was just killed. [ms] */
const HOLD_PATIENCE_MS = 20_000

/** Between attempts to hold a database. [ms] */
const HOLD_PAUSE_MS = 100

async function hold(prepared: Preparation, password: string, onPlaceLost: () => void): Promise<RunningPostmaster> {
  const end = performance.now() + HOLD_PATIENCE_MS
  for (;;) {
    try {
      const running = await ensurePostmaster(prepared)
      const access = accessThrough(running.socketFolder, password)
      await ensureRoles(access)
      if (await takeWriterPlace(access.writer, onPlaceLost)) return running
      throw new StartRefused([dataFolderInUse(prepared.home.dataFolder, await writerProcess(access))])
    } catch (error) {
      if (error instanceof StartRefused) throw error
      if (performance.now() > end) throw new StartRefused([unreachable(prepared, error)], { cause: error })
      await pause(HOLD_PAUSE_MS)
    }
  }
}

/** SQLSTATE of a refused password. */
const WRONG_PASSWORD = '28P01'

function unreachable(prepared: Preparation, error: unknown): Obstacle {
  const { dataFolder, log } = prepared.home
  const isWrongPassword = error instanceof pg.DatabaseError && error.code === WRONG_PASSWORD
  if (isWrongPassword) return dataFolderDamaged(dataFolder, 'its database does not accept the password kept in it')
  return databaseDoesNotStart(log, error instanceof Error ? error.message : '')
}

function isInUse(error: unknown): error is StartRefused {
  return error instanceof StartRefused && error.obstacles.some(({ code }) => code === 'ERR_DATA_FOLDER_IN_USE')
}
