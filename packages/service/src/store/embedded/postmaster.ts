import { spawn } from 'node:child_process'
import { open, readFile, rename, stat, writeFile } from 'node:fs/promises'
import { basename, join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { StartRefused } from '../failure.ts'
import { isCode, isPresent, readIfPresent, roomIn_bytes } from '../folder.ts'
import { SOCKET_NAME } from './home.ts'
import { PROGRAM_ENVIRONMENT } from './machine.ts'
import { databaseDoesNotStart, folderNotWritable } from './obstacles.ts'
import type { Preparation } from './preflight.ts'

/** What a running database says of itself in `postmaster.pid`. */
export interface Postmaster {
  readonly pid: number
  readonly socketFolder: string
  readonly isReady: boolean
}

/** A database that is ready, and whether it was so before this process came. */
export type RunningPostmaster = Postmaster & { readonly adopted: boolean }

/** How long a database may take to get ready; crash recovery replays the log since the last checkpoint. [ms] */
const START_PATIENCE_MS = 120_000

/** How long a fast shutdown may take, its checkpoint included. [ms] */
const STOP_PATIENCE_MS = 60_000

/** How often `postmaster.pid` is looked at. [ms] */
const POLL_MS = 5

/** Size at which a log is put aside when the database starts; one older log is kept. [bytes] */
const LOG_LIMIT = 8 * 1024 * 1024

/**
 * Settings of every start. Durable: `fsync`, `full_page_writes` and `synchronous_commit` as PostgreSQL means them.
 * Closed: no TCP port, a socket for its owner alone. Quiet: no statements, values or key values in the log.
 */
const SETTINGS = {
  listen_addresses: '',
  unix_socket_permissions: '0700',
  fsync: 'on',
  full_page_writes: 'on',
  synchronous_commit: 'on',
  max_connections: '60',
  shared_buffers: '64MB',
  max_wal_size: '512MB',
  max_parallel_workers_per_gather: '0',
  max_logical_replication_workers: '0',
  logging_collector: 'off',
  log_min_messages: 'warning',
  log_checkpoints: 'off',
  log_error_verbosity: 'terse',
  log_min_error_statement: 'panic',
  timezone: 'UTC',
}

/**
 * The running and ready database of a home: the one that is there (it survives the death of the service), else a new
 * one. When several processes start one at once, PostgreSQL lets one through and all use that.
 *
 * @returns the database, and whether it was there before.
 * @throws StartRefused with the end of its log when it does not get ready.
 */
export async function ensurePostmaster(prepared: Preparation): Promise<RunningPostmaster> {
  const patience = {
    end: performance.now() + START_PATIENCE_MS,
    giveUpRestartsAt: performance.now() + RESTART_PATIENCE_MS,
  }
  let started: StartedProcess | undefined
  for (;;) {
    const found = await findPostmaster(prepared.home.cluster)
    if (found?.isReady && (await hasSocket(found))) return { ...found, adopted: found.pid !== started?.pid }
    if (found?.isReady) signal(found.pid, 'SIGINT')

    const ended = started?.hasEnded() ?? false
    if (performance.now() > (ended ? patience.giveUpRestartsAt : patience.end)) throw await doesNotStart(prepared)
    if (found === undefined && (started === undefined || ended)) started = await startPostmaster(prepared)
    await pause(ended ? RESTART_PAUSE_MS : POLL_MS)
  }
}

/** The process that this one started. */
interface StartedProcess {
  readonly pid: number | undefined
  readonly hasEnded: () => boolean
}

/**
 * How long a database that ends at once is started again: the processes of a killed one need a moment to leave, and a
 * start that lost against another's ends too. [ms]
 */
const RESTART_PATIENCE_MS = 3_000

/** Between such starts. [ms] */
const RESTART_PAUSE_MS = 50

/** Without its socket file, which a cleaner of temporary folders may have taken, a database cannot be reached. */
function hasSocket(postmaster: Postmaster): Promise<boolean> {
  return isPresent(join(postmaster.socketFolder, SOCKET_NAME))
}

/** The database leads its own session and writes to a file, so that it outlives this process and its terminal. */
async function startPostmaster(prepared: Preparation): Promise<StartedProcess> {
  const { home, binaries, socketFolder, user } = prepared
  await disownLockFile(home.cluster)
  await putLogAside(home.log)
  const log = await open(home.log, 'a', 0o600)
  const settings = Object.entries(SETTINGS).flatMap(([name, value]) => ['-c', `${name}=${value}`])
  const child = spawn(binaries.postgres, ['-D', home.cluster, '-k', socketFolder, ...settings], {
    detached: true,
    cwd: '/',
    env: PROGRAM_ENVIRONMENT,
    stdio: ['ignore', log.fd, log.fd],
    ...user,
  })
  let ended = false
  child.on('exit', () => {
    ended = true
  })
  child.on('error', () => {
    ended = true
  })
  child.unref()
  await log.close()
  return { pid: child.pid, hasEnded: () => ended }
}

/** The database that runs on a cluster; undefined when none does. */
export async function findPostmaster(cluster: string): Promise<Postmaster | undefined> {
  const text = await readIfPresent(join(cluster, PID_FILE))
  const [, , , , socketFolder, , , status] = text?.split('\n') ?? []
  const pid = pidIn(text)
  if (pid === undefined || !isAlive(pid) || (await isOtherProgram(pid))) return undefined
  return { pid, socketFolder: socketFolder ?? '', isReady: status?.trim() === 'ready' }
}

/** PostgreSQL's lock file in its data directory. */
const PID_FILE = 'postmaster.pid'

/** Process number in a lock file; undefined when it is none, or our own, put there by {@link disownLockFile}. */
function pidIn(text: string | undefined): number | undefined {
  const pid = Number.parseInt(text ?? '', 10)
  return pid > 0 && pid !== process.pid ? pid : undefined
}

/**
 * Frees a lock file that a killed database left behind and whose process number now belongs to another program:
 * containers number their processes alike at every start. PostgreSQL would refuse to start; so the number is replaced
 * by our own, which it takes for its parent and for no other database. The rest of the file stays, because PostgreSQL
 * also looks for the shared memory that is named there. A file with the number of a dead process needs no help.
 */
async function disownLockFile(cluster: string): Promise<void> {
  const path = join(cluster, PID_FILE)
  const text = await readIfPresent(path)
  const pid = pidIn(text)
  if (text === undefined || pid === undefined || !isAlive(pid) || !(await isOtherProgram(pid))) return
  if ((await readIfPresent(path)) !== text) return
  try {
    await writeFile(path, text.replace(/^\d+/, String(process.pid)), { flag: 'r+' })
  } catch (error) {
    if (!isCode(error, 'ENOENT')) throw error
  }
}

/** True also for a process of another user. */
function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return isCode(error, 'EPERM')
  }
}

/** Known on Linux only, from the command line, which is empty for a process that has ended and waits for its parent. */
async function isOtherProgram(pid: number): Promise<boolean> {
  try {
    const [program = ''] = (await readFile(`/proc/${pid}/cmdline`, 'utf8')).split('\0')
    return basename(program) !== 'postgres'
  } catch {
    return false
  }
}

/**
 * Stops a database: connections are cut, open transactions rolled back, a checkpoint is written.
 *
 * @returns false when it had not ended after a minute; it is left to its work then.
 */
export async function stopPostmaster(cluster: string): Promise<boolean> {
  const running = await findPostmaster(cluster)
  if (running === undefined) return true
  signal(running.pid, 'SIGINT')
  const end = performance.now() + STOP_PATIENCE_MS
  while ((await findPostmaster(cluster))?.pid === running.pid) {
    if (performance.now() > end) return false
    await pause(POLL_MS)
  }
  return true
}

function signal(pid: number, name: NodeJS.Signals): void {
  try {
    process.kill(pid, name)
  } catch (error) {
    if (!isCode(error, 'ESRCH')) throw error
  }
}

async function putLogAside(log: string): Promise<void> {
  try {
    const { size } = await stat(log)
    if (size > LOG_LIMIT) await rename(log, `${log}.1`)
  } catch (error) {
    if (!isCode(error, 'ENOENT')) throw error
  }
}

/** Free space below which a start that failed is put down to the disk: two segments of the write-ahead log. [bytes] */
const ROOM_TO_START_BYTES = 32 * 1024 * 1024

async function doesNotStart({ home }: Preparation): Promise<StartRefused> {
  if ((await roomIn_bytes(home.folder)) < ROOM_TO_START_BYTES) {
    return new StartRefused([folderNotWritable(home.folder, 'ENOSPC')])
  }
  return new StartRefused([databaseDoesNotStart(home.log, (await readIfPresent(home.log)) ?? '')])
}
