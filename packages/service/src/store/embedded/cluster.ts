import { randomUUID } from 'node:crypto'
import { mkdir, rename, rm, writeFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { StartRefused } from '../failure.ts'
import { draftOf, flushFolder, isCode, readIfPresent, roomIn_bytes } from '../folder.ts'
import { readOrCreateSecret, readSecret } from '../secret-file.ts'
import { giveTo } from './home.ts'
import type { Machine } from './machine.ts'
import { databaseDoesNotStart, dataFolderDamaged, folderNotWritable, otherDatabaseVersion } from './obstacles.ts'
import type { Preparation } from './preflight.ts'

/** Name of the role that may do everything; used to set up the others. */
export const SUPERUSER = 'postgres'

/** Major version of the bundled programs. */
const MAJOR_VERSION = '18'

/**
 * The password of the database's roles, made with the cluster.
 *
 * @param notify told when a cluster is made, which takes a second or two.
 * @throws StartRefused when there is a cluster without its password, or one of another major version.
 */
export async function openCluster(
  machine: Machine,
  prepared: Preparation,
  notify: (sentence: string) => void,
): Promise<string> {
  const { home } = prepared
  const file = join(home.dataFolder, 'database-password')
  const version = await readIfPresent(join(home.cluster, 'PG_VERSION'))
  if (version === undefined) {
    const password = await readOrCreateSecret(file, () => randomUUID() + randomUUID())
    notify(`Making a database in ${home.folder}; this is done once.`)
    await createCluster(machine, prepared, password)
    return password
  }
  if (version.trim() !== MAJOR_VERSION) {
    throw new StartRefused([otherDatabaseVersion(home.folder, version.trim(), MAJOR_VERSION)])
  }
  const password = await readSecret(file)
  if (password === undefined) throw new StartRefused([dataFolderDamaged(home.dataFolder, `${file} is missing`)])
  return password
}

/** A new cluster takes two thirds of this. [bytes] */
const ROOM_FOR_CLUSTER_BYTES = 64 * 1024 * 1024

/**
 * Makes a cluster under another name and renames it when it is complete and on the disk. Of several processes that do
 * so at once one succeeds, and the others use its cluster.
 *
 * Text compares by code point (`C.UTF-8` of the built-in provider), so that nothing depends on the system's locales.
 */
async function createCluster(machine: Machine, prepared: Preparation, password: string): Promise<void> {
  const { home, binaries, user } = prepared
  if ((await roomIn_bytes(home.folder)) < ROOM_FOR_CLUSTER_BYTES) {
    throw new StartRefused([folderNotWritable(home.folder, 'ENOSPC')])
  }
  const draft = draftOf(home.cluster)
  const passwordFile = `${draft}.password`
  await mkdir(draft, { mode: 0o700 })
  await writeFile(passwordFile, password, { mode: 0o600 })
  try {
    await giveTo(draft, user)
    await giveTo(passwordFile, user)
    const end = await machine.run(binaries.initdb, initdbArguments(draft, passwordFile), user)
    if (end.status !== 0) throw new StartRefused([databaseDoesNotStart('its set-up', end.startError ?? end.output)])
    await rename(draft, home.cluster)
    await flushFolder(dirname(home.cluster))
  } catch (error) {
    await rm(draft, { recursive: true, force: true })
    if (!isCode(error, 'ENOTEMPTY') && !isCode(error, 'EEXIST')) throw error
  } finally {
    await rm(passwordFile, { force: true })
  }
}

function initdbArguments(folder: string, passwordFile: string): readonly string[] {
  return [
    `--pgdata=${folder}`,
    `--username=${SUPERUSER}`,
    `--pwfile=${passwordFile}`,
    '--auth=scram-sha-256',
    '--encoding=UTF8',
    '--locale=C',
    '--locale-provider=builtin',
    '--builtin-locale=C.UTF-8',
    '--data-checksums',
    '--no-instructions',
  ]
}
