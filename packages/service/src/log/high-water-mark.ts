/** The largest tree this replica ever signed, kept outside the database: a restored backup is recognised by it. */
import { open, rename } from 'node:fs/promises'
import { dirname } from 'node:path'
import type { TreeHash } from '@fairpull/sdk/verify'
import { StartRefused } from '../store/failure.ts'
import { draftOf, flushFolder } from '../store/folder.ts'
import { readSecret } from '../store/secret-file.ts'

/** The largest tree that was signed. */
export interface Mark {
  readonly origin: string
  readonly size: number
  readonly root: TreeHash
}

/** Keeps the mark. */
export interface HighWaterMark {
  /** The mark; undefined while nothing was signed. */
  read(): Promise<Mark | undefined>
  /** Durable when it resolves. */
  write(mark: Mark): Promise<void>
}

/**
 * The mark in a file, mode 0600. It is replaced whole, flushed before and after.
 *
 * @throws StartRefused from `read`, when the file is no mark or can be read by others.
 */
export function createMarkFile(path: string): HighWaterMark {
  return {
    read: async () => {
      const text = await readSecret(path)
      return text === undefined ? undefined : markIn(path, text)
    },
    write: async ({ origin, size, root }) => {
      const draft = draftOf(path)
      const file = await open(draft, 'wx', 0o600)
      try {
        await file.writeFile(`${JSON.stringify({ origin, size, root: Buffer.from(root).toString('base64') })}\n`)
        await file.sync()
      } finally {
        await file.close()
      }
      await rename(draft, path)
      await flushFolder(dirname(path))
    },
  }
}

function markIn(path: string, text: string): Mark {
  try {
    const { origin, size, root } = JSON.parse(text) as Record<string, unknown>
    const bytes = Buffer.from(String(root), 'base64')
    if (typeof origin === 'string' && Number.isSafeInteger(size) && bytes.length === 32) {
      return { origin, size: Number(size), root: bytes }
    }
  } catch {}
  const sentence = `${path} does not say how large the log has been: restore it from a backup, or run "fairpull-service log check" and then remove it.`
  throw new StartRefused([{ code: 'ERR_LOG_MARK_DAMAGED', sentence }])
}
