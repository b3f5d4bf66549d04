import { execFile } from 'node:child_process'
import { chmod, mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { findPostmaster, stopPostmaster } from '../../../packages/service/src/store/embedded/postmaster.ts'
import { startEmbeddedPostgres } from '../../../packages/service/src/store/embedded-postgres.ts'

/** A data folder that is not there yet, in a temporary folder that the database's user may pass through. */
export interface DataFolder {
  readonly path: string
  /** PostgreSQL's data directory in it. */
  readonly cluster: string
  /** Stops a database that still runs on it and removes everything. */
  remove(): Promise<void>
}

export async function temporaryDataFolder(): Promise<DataFolder> {
  const parent = await mkdtemp(join(tmpdir(), 'fairpull-'))
  await chmod(parent, 0o711)
  const path = join(parent, 'data')
  const cluster = join(path, 'postgres')
  return {
    path,
    cluster,
    remove: async () => {
      await stopPostmaster(cluster)
      await rm(parent, { recursive: true, force: true })
    },
  }
}

/** Process number of the database that runs on a cluster. */
export async function postmasterPid(cluster: string): Promise<number> {
  const running = await findPostmaster(cluster)
  if (running === undefined) throw new Error(`no database runs on ${cluster}`)
  return running.pid
}

/**
 * A data folder whose database has been made, started once and stopped, to be copied: a copy takes a tenth of the time
 * of a first start.
 */
export async function preparedDataFolder(): Promise<DataFolder> {
  const folder = await temporaryDataFolder()
  const database = await startEmbeddedPostgres({
    dataFolder: folder.path,
    notify: () => undefined,
    onLost: () => undefined,
  })
  await database.stop()
  return folder
}

/** A copy of a data folder on which no database runs, owners and modes included. */
export async function copyOf(prepared: DataFolder): Promise<DataFolder> {
  const copy = await temporaryDataFolder()
  await promisify(execFile)('cp', ['-Rp', prepared.path, copy.path])
  return copy
}
