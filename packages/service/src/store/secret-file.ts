import { link, open, readFile, stat, unlink } from 'node:fs/promises'
import { dirname } from 'node:path'
import { StartRefused } from './failure.ts'
import { draftOf, flushFolder, isCode } from './folder.ts'

/** Permission bits of everybody but the owner. */
const OTHERS = 0o077

/**
 * The content of a secret file, made by `create` when there is none. Its mode is 0600.
 *
 * The file appears whole or not at all, and only once: it is written and flushed under another name and then linked
 * to its own, which fails when another process was first; that one's content is returned.
 *
 * @throws StartRefused `ERR_KEY_FILE_EXPOSED` when a present file can be read by others.
 */
export async function readOrCreateSecret(path: string, create: () => Promise<string> | string): Promise<string> {
  const present = await readSecret(path)
  if (present !== undefined) return present
  const draft = draftOf(path)
  await writeFlushed(draft, await create())
  try {
    await link(draft, path)
    await flushFolder(dirname(path))
  } catch (error) {
    if (!isCode(error, 'EEXIST')) throw error
  } finally {
    await unlink(draft)
  }
  return readFile(path, 'utf8')
}

/** The content of a secret file; undefined when there is none. */
export async function readSecret(path: string): Promise<string | undefined> {
  try {
    const { mode } = await stat(path)
    if (process.platform !== 'win32' && (mode & OTHERS) !== 0) throw exposed(path)
    return await readFile(path, 'utf8')
  } catch (error) {
    if (isCode(error, 'ENOENT')) return undefined
    throw error
  }
}

async function writeFlushed(path: string, content: string): Promise<void> {
  const file = await open(path, 'wx', 0o600)
  try {
    await file.writeFile(content)
    await file.sync()
  } finally {
    await file.close()
  }
}

function exposed(path: string): StartRefused {
  const sentence = `${path} holds a secret and can be read by others: run chmod 600 on it, and make a new one if anybody may have read it.`
  return new StartRefused([{ code: 'ERR_KEY_FILE_EXPOSED', sentence }])
}
