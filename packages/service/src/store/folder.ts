import { randomUUID } from 'node:crypto'
import { chmod, lstat, mkdir, open, readdir, readFile, rm, statfs, unlink, writeFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { folderNotWritable } from './embedded/obstacles.ts'
import { StartRefused } from './failure.ts'

/**
 * Makes a folder, and tries whether it can be written to.
 *
 * @param mode permissions of a folder made here; one that is there keeps its own.
 * @throws StartRefused with the folder and the system's reason.
 */
export async function prepareFolder(folder: string, mode = 0o700): Promise<void> {
  const probe = draftOf(join(folder, '.write-probe'))
  try {
    if (await makeFolder(folder)) await chmod(folder, mode)
    await writeFile(probe, 'x', { mode: 0o600 })
    await unlink(probe)
  } catch (cause) {
    const code = cause instanceof Error && 'code' in cause ? String(cause.code) : 'unknown reason'
    throw new StartRefused([folderNotWritable(folder, code)], { cause })
  }
}

/**
 * Makes a folder and those above it; false when it is there already. Node's own recursive form never ends where a
 * system answers that a present parent is missing, as `/proc` does.
 */
async function makeFolder(folder: string): Promise<boolean> {
  try {
    await mkdir(folder)
    return true
  } catch (error) {
    if (isCode(error, 'EEXIST')) return false
    if (!isCode(error, 'ENOENT') || dirname(folder) === folder) throw error
  }
  await makeFolder(dirname(folder))
  try {
    await mkdir(folder)
    return true
  } catch (error) {
    if (isCode(error, 'EEXIST')) return false
    throw error
  }
}

/** Content of a text file; undefined when there is none. */
export async function readIfPresent(path: string): Promise<string | undefined> {
  try {
    return await readFile(path, 'utf8')
  } catch (error) {
    if (isCode(error, 'ENOENT')) return undefined
    throw error
  }
}

/** Whether there is a file, folder, socket or link of this name. */
export async function isPresent(path: string): Promise<boolean> {
  try {
    await lstat(path)
    return true
  } catch (error) {
    if (isCode(error, 'ENOENT')) return false
    throw error
  }
}

/** Free space for this user on the disk of a folder. [bytes] */
export async function roomIn_bytes(folder: string): Promise<number> {
  const { bavail, bsize } = await statfs(folder)
  return bavail * bsize
}

/** Between a name and what makes an unfinished file or folder of that name unique. */
const DRAFT = '.draft-'

/** Age after which an unfinished file or folder was left by a process that is gone. [ms] */
const ABANDONED_AFTER_MS = 10 * 60 * 1000

/** A name for something unfinished, which is renamed or linked to its own name when it is complete. */
export function draftOf(path: string): string {
  return `${path}${DRAFT}${randomUUID()}`
}

/** Removes what processes left unfinished in a folder that were killed at it. */
export async function removeAbandonedDrafts(folder: string): Promise<void> {
  for (const name of await readdir(folder)) {
    if (!name.includes(DRAFT)) continue
    const path = join(folder, name)
    const { mtimeMs } = await lstat(path)
    if (Date.now() - mtimeMs > ABANDONED_AFTER_MS) await rm(path, { recursive: true, force: true })
  }
}

/** A new name is on the disk only once its folder is. */
export async function flushFolder(path: string): Promise<void> {
  const folder = await open(path, 'r')
  try {
    await folder.sync()
  } finally {
    await folder.close()
  }
}

/** Whether an error carries this system error code. */
export function isCode(error: unknown, code: string): boolean {
  return error instanceof Error && 'code' in error && error.code === code
}
