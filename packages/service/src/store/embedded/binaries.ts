import { constants } from 'node:fs'
import { chmod, copyFile, mkdir, readdir, readFile, rename, rm, symlink } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { draftOf, isCode, isPresent } from '../folder.ts'

/** Where the programs of one PostgreSQL lie. */
export interface Binaries {
  readonly folder: string
  readonly postgres: string
  readonly initdb: string
}

/** The programs below the `native` folder of a platform package, or of a copy of it. */
export function binariesIn(native: string): Binaries {
  return { folder: native, postgres: join(native, 'bin', 'postgres'), initdb: join(native, 'bin', 'initdb') }
}

/**
 * Makes the library links that a package archive cannot hold, as listed in the package's `pg-symlinks.json`.
 *
 * @returns false when links are missing and cannot be made here.
 */
export async function repairLinks(native: string): Promise<boolean> {
  for (const { source, target } of await listedLinks(native)) {
    const place = join(dirname(native), target)
    if (await isPresent(place)) continue
    try {
      await symlink(basename(source), place)
    } catch (error) {
      if (!isCode(error, 'EEXIST')) return false
    }
  }
  return true
}

interface ListedLink {
  /** The file, from the package's root. */
  readonly source: string
  /** The link to it, in the same folder. */
  readonly target: string
}

async function listedLinks(native: string): Promise<readonly ListedLink[]> {
  try {
    return JSON.parse(await readFile(join(native, 'pg-symlinks.json'), 'utf8')) as readonly ListedLink[]
  } catch (error) {
    if (isCode(error, 'ENOENT')) return []
    throw error
  }
}

/**
 * A copy of the programs below `parent`, complete with its links and readable by everybody. Made once per version;
 * it appears whole or not at all, whoever else is making it.
 */
export async function copyBinaries(native: string, version: string, parent: string): Promise<Binaries> {
  const place = join(parent, `postgresql-${version}`)
  const copy = binariesIn(join(place, 'native'))
  if (await isPresent(place)) return copy
  const draft = draftOf(place)
  await mkdir(draft, { mode: 0o755 })
  await copyTree(native, join(draft, 'native'))
  await repairLinks(join(draft, 'native'))
  await chmod(draft, 0o755)
  try {
    await rename(draft, place)
  } catch (error) {
    await rm(draft, { recursive: true })
    if (!isCode(error, 'ENOTEMPTY') && !isCode(error, 'EEXIST')) throw error
  }
  return copy
}

/** Static libraries are for linking programs against, not for running one. */
async function copyTree(from: string, to: string): Promise<void> {
  await mkdir(to)
  await chmod(to, 0o755)
  for (const entry of await readdir(from, { withFileTypes: true })) {
    const [source, target] = [join(from, entry.name), join(to, entry.name)]
    if (entry.isDirectory()) await copyTree(source, target)
    if (!entry.isFile() || entry.name.endsWith('.a')) continue
    await copyFile(source, target, constants.COPYFILE_FICLONE)
    await chmod(target, basename(from) === 'bin' ? 0o755 : 0o644)
  }
}
