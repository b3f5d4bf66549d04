/** The whole log read again from its entries, for an operator. */
import { leafHash, subtreesFromTiles, subtreesOf, tilesOf, treeRoot } from '@fairpull/sdk/verify'
import type { HighWaterMark } from './high-water-mark.ts'
import type { LogHead, LogStorage } from './log-storage.ts'
import { differingEntry, isSame, tilesOnce } from './publish.ts'
import { sha256Now } from './sha256-now.ts'

/** What a check found. */
export interface LogCheck {
  readonly head: LogHead
  /** One sentence per fault; empty when the log is sound. */
  readonly faults: readonly string[]
}

/** Entries read at once. */
const ENTRIES_AT_ONCE = 4_096

/**
 * Checks the log from nothing: root hash from the entries alone, every tile against them, and the largest tree that was
 * signed as the beginning of this one.
 */
export async function checkLog(storage: LogStorage, mark: HighWaterMark): Promise<LogCheck> {
  const head = await storage.head()
  const leaves: Uint8Array[] = []
  for (let from = 0; from < head.size; from += ENTRIES_AT_ONCE) {
    const entries = await storage.entries(from, Math.min(head.size, from + ENTRIES_AT_ONCE))
    for (const entry of entries) leaves.push(await leafHash(entry, sha256Now))
  }
  const faults: string[] = []
  if (leaves.length < head.size) return { head, faults: [`${head.size - leaves.length} entries are missing`] }
  const subtrees = await subtreesOf(leaves, sha256Now)
  if (!isSame(await treeRoot(subtrees, head.size, sha256Now), head.root)) {
    faults.push('the entries do not lead to the root hash of the head')
  }
  const signed = await mark.read()
  if (signed !== undefined && signed.size > head.size) {
    faults.push(
      `a tree of ${signed.size} entries was signed, and the database holds ${head.size}: restore a newer backup`,
    )
  } else if (signed !== undefined && !isSame(await treeRoot(subtrees, signed.size, sha256Now), signed.root)) {
    faults.push(`the tree of ${signed.size} entries that was signed is not the beginning of this one`)
  }
  return { head, faults: [...faults, ...(await faultsOfTiles(head, storage))] }
}

async function faultsOfTiles(head: LogHead, storage: LogStorage): Promise<readonly string[]> {
  const faults: string[] = []
  for (const { level, index, width } of tilesOf(head.size)) {
    const bytes = level === 'entries' ? undefined : await storage.tile(level, index)
    if ((bytes?.length ?? 0) < width * 32) faults.push(`tile ${level}/${index} lacks hashes`)
  }
  if (faults.length > 0) return faults
  const subtrees = subtreesFromTiles(tilesOnce(storage), sha256Now)
  const differing = await differingEntry({ from: 0, to: head.size }, subtrees, storage)
  if (differing !== undefined) faults.push(`entry ${differing} is not the one that its tile stands for`)
  const isRoot = isSame(await treeRoot(subtrees, head.size, sha256Now), head.root)
  return isRoot ? faults : [...faults, 'the tiles do not lead to the root hash of the head']
}
