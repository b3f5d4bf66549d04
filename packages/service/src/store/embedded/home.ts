import { createHash, randomUUID } from 'node:crypto'
import { chmod, chown, lstat, mkdir, readdir, stat } from 'node:fs/promises'
import { dirname, join, resolve } from 'node:path'
import { StartRefused } from '../failure.ts'
import { isCode, prepareFolder, readIfPresent } from '../folder.ts'
import { readOrCreateSecret } from '../secret-file.ts'
import type { Machine, SystemUser } from './machine.ts'
import { socketPathTooLong } from './obstacles.ts'

/** Folders of one embedded database. */
export interface DatabaseHome {
  /** What the operator calls the data folder. */
  readonly dataFolder: string
  /** Where the database lies: the data folder, or another that its user can reach. */
  readonly folder: string
  /** PostgreSQL's own data directory. */
  readonly cluster: string
  /** What the database wrote to its log. */
  readonly log: string
}

/**
 * The home of the database that belongs to a data folder that is there; made if need be.
 *
 * It is the data folder itself, unless the database has to run as another user who cannot get there (a checkout below
 * `/root`). Then it is a folder with a random name below `machine.sharedParent`; the file `database-home` in the data
 * folder holds its path, so that a data folder that was deleted and made again starts empty.
 *
 * @param user who the database runs as; undefined for the user of this process.
 * @throws StartRefused when a folder cannot be made or written to.
 */
export async function prepareHome(
  dataFolder: string,
  user: SystemUser | undefined,
  machine: Machine,
): Promise<DatabaseHome> {
  if (user === undefined) return homeIn(dataFolder, dataFolder)
  const note = join(dataFolder, HOME_NOTE)
  if ((await readIfPresent(note)) === undefined) {
    await letPass(dataFolder)
    if (await canReach(dataFolder, user)) return homeIn(dataFolder, dataFolder)
  }
  const folder = await readOrCreateSecret(note, () => join(machine.sharedParent, randomUUID()))
  await prepareFolder(machine.sharedParent, 0o755)
  await prepareFolder(folder, 0o711)
  return homeIn(dataFolder, folder)
}

/** File in the data folder with the path of a database home that lies elsewhere. */
const HOME_NOTE = 'database-home'

function homeIn(dataFolder: string, folder: string): DatabaseHome {
  return { dataFolder, folder, cluster: join(folder, CLUSTER), log: join(folder, 'postgres.log') }
}

/** Name of PostgreSQL's data directory in its home. */
const CLUSTER = 'postgres'

/**
 * Others may pass through a new data folder, to what is theirs in it; the rest is closed by its own mode. A folder in
 * which other things lie is not ours to open.
 */
async function letPass(folder: string): Promise<void> {
  const others = (await readdir(folder)).filter((name) => name !== 'keys')
  if (others.length > 0) return
  const { mode } = await stat(folder)
  await chmod(folder, (mode & 0o777) | 0o011)
}

/** Owner of the database that lies in a data folder already; undefined when there is none. */
export async function ownerOfCluster(dataFolder: string): Promise<SystemUser | undefined> {
  const folder = (await readIfPresent(join(dataFolder, HOME_NOTE))) ?? dataFolder
  try {
    const { uid, gid } = await stat(join(folder, CLUSTER))
    return { uid, gid }
  } catch (error) {
    if (isCode(error, 'ENOENT')) return undefined
    throw error
  }
}

/** Whether every folder down to this one may be passed through by a user, by owner, group and mode. */
export async function canReach(path: string, user: SystemUser): Promise<boolean> {
  const { uid, gid, mode } = await stat(path)
  const bit = uid === user.uid ? 0o100 : gid === user.gid ? 0o010 : 0o001
  if ((mode & bit) === 0) return false
  const parent = dirname(resolve(path))
  return parent === resolve(path) ? true : canReach(parent, user)
}

/** Longest address of a Unix socket on the strictest of the supported systems. [bytes] */
const LONGEST_SOCKET_PATH = 103

/** The name PostgreSQL gives its socket; the number is part of the name only, no port is opened. */
export const SOCKET_NAME = '.s.PGSQL.5432'

/**
 * A folder for the socket, short enough, open to the database's user alone: in the home, else below one of the
 * machine's folders, under a name derived from the home.
 *
 * @throws StartRefused when none can be had.
 */
export async function prepareSocketFolder(
  home: DatabaseHome,
  user: SystemUser | undefined,
  machine: Machine,
): Promise<string> {
  const name = `fairpull-${createHash('sha256').update(home.folder).digest('hex').slice(0, 12)}`
  const candidates = [join(home.folder, 'socket'), ...machine.socketParents.map((parent) => join(parent, name))]
  const owner = user ?? machine.user
  for (const candidate of candidates) {
    const fits = Buffer.byteLength(join(candidate, SOCKET_NAME)) <= LONGEST_SOCKET_PATH
    if (fits && (await ownFolder(candidate, owner))) return candidate
  }
  throw new StartRefused([socketPathTooLong(home.folder, LONGEST_SOCKET_PATH)])
}

/** Makes a folder for one owner; false when it cannot be made, or is there and belongs to somebody else. */
async function ownFolder(folder: string, owner: SystemUser | undefined): Promise<boolean> {
  try {
    await mkdir(folder, { mode: 0o700 })
    await giveTo(folder, owner)
  } catch (error) {
    if (!isCode(error, 'EEXIST')) return false
  }
  const found = await lstat(folder)
  return found.isDirectory() && (found.mode & 0o077) === 0 && (owner === undefined || found.uid === owner.uid)
}

/** Hands a file or folder to the database's user, where that is somebody else than the one of this process. */
export async function giveTo(path: string, owner: SystemUser | undefined): Promise<void> {
  if (owner !== undefined && process.getuid?.() !== owner.uid) await chown(path, owner.uid, owner.gid)
}
