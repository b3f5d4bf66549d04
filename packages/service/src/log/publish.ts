/** From a committed head to a signed checkpoint: re-read, compared, marked, signed, in that order. */
import {
  hashesOfTile,
  inclusionProof,
  type SigningKey,
  type SubtreeReader,
  signCheckpoint,
  subtreesFromTiles,
  TILE_WIDTH,
  type TileReader,
  type TreeHash,
  treeRoot,
} from '@fairpull/sdk/verify'
import { leafOf } from './extend-tree.ts'
import type { HighWaterMark, Mark } from './high-water-mark.ts'
import { faultText, type LogFault, LogStopped } from './log-stopped.ts'
import type { LogHead, LogStorage } from './log-storage.ts'
import { sha256Now } from './sha256-now.ts'

/** A checkpoint that may be shown. */
export interface Published {
  readonly size: number
  readonly root: TreeHash
  /** The signed note. */
  readonly checkpoint: string
  /** The tree it stands for. */
  readonly subtrees: SubtreeReader
}

/** What publishing needs. */
export interface PublishDeps {
  readonly storage: LogStorage
  readonly mark: HighWaterMark
  readonly key: SigningKey
}

/**
 * The checkpoint of the head.
 *
 * 1. The head is read; a stopped log signs nothing. 2. It is neither smaller than the largest tree that was signed here nor
 * another tree of that size: a backup was restored, or the database altered. 3. The entries added since are read again, and
 * are those that the tiles stand for. 4. The tiles lead to the root hash of the head, and to that of the tree signed before.
 * 5. The mark is written, and only then the checkpoint is signed.
 *
 * @throws LogStopped when 2, 3 or 4 fails; the log is stopped on all replicas then.
 */
export async function publishHead(before: Published | undefined, deps: PublishDeps): Promise<Published> {
  const { storage, mark, key } = deps
  const head = await storage.head()
  if (head.stopped !== null) throw new LogStopped(head.stopped)
  if (before?.size === head.size && isSame(before.root, head.root)) return before
  const signed = await mark.read()
  const subtrees = subtreesFromTiles(tilesOnce(storage), sha256Now)
  const fault = faultOfMark(head, signed) ?? (await faultOfTree(head, signed, subtrees, storage))
  if (fault !== undefined) {
    const text = faultText(fault)
    await storage.stop(text)
    throw new LogStopped(text)
  }
  const { origin, size, root } = head
  await mark.write({ origin, size, root })
  return { size, root, subtrees, checkpoint: await signCheckpoint({ origin, size, root }, key) }
}

/** Inclusion proof of an entry in a published tree, from the leaf upwards. */
export function proofIn({ subtrees, size }: Published, index: number): Promise<readonly TreeHash[]> {
  return inclusionProof(subtrees, { index, size }, sha256Now)
}

function faultOfMark({ origin, size, root }: LogHead, signed: Mark | undefined): LogFault | undefined {
  if (signed === undefined) return undefined
  if (signed.origin !== origin) {
    const detail = `this log is ${origin}, but ${signed.origin} was signed here before`
    return { code: 'ERR_LOG_OTHER_ORIGIN', detail }
  }
  if (size < signed.size) {
    const detail = `the database holds ${size} entries, but a tree of ${signed.size} was signed before`
    return { code: 'ERR_LOG_SMALLER', detail }
  }
  if (size > signed.size || isSame(root, signed.root)) return undefined
  return { code: 'ERR_LOG_OTHER_TREE', detail: `another tree of ${size} entries was signed before` }
}

async function faultOfTree(
  { size, root }: LogHead,
  signed: Mark | undefined,
  subtrees: SubtreeReader,
  storage: LogStorage,
): Promise<LogFault | undefined> {
  const from = signed?.size ?? 0
  try {
    const differing = await differingEntry({ from, to: size }, subtrees, storage)
    if (differing !== undefined) {
      return { code: 'ERR_LOG_ENTRY_ALTERED', detail: `entry ${differing} is not the one that the tree stands for` }
    }
    if (!isSame(await treeRoot(subtrees, size, sha256Now), root)) {
      return { code: 'ERR_LOG_TILES_ALTERED', detail: 'the tiles do not lead to the root hash' }
    }
    if (signed === undefined || isSame(await treeRoot(subtrees, from, sha256Now), signed.root)) return undefined
    const detail = `the tree does not continue the one of ${from} entries that was signed before`
    return { code: 'ERR_LOG_OTHER_TREE', detail }
  } catch (error) {
    if (error instanceof RangeError) return { code: 'ERR_LOG_TILES_ALTERED', detail: error.message }
    throw error
  }
}

/** The first entry in a range whose hash is not the leaf of the tree. */
export async function differingEntry(
  { from, to }: { readonly from: number; readonly to: number },
  subtrees: SubtreeReader,
  storage: Pick<LogStorage, 'entries'>,
): Promise<number | undefined> {
  for (let start = from; start < to; start += TILE_WIDTH) {
    const end = Math.min(to, start + TILE_WIDTH)
    const entries = await storage.entries(start, end)
    if (entries.length < end - start) return start + entries.length
    for (const [at, entry] of entries.entries()) {
      if (!isSame(await leafOf(entry), await subtrees(0, start + at))) return start + at
    }
  }
  return undefined
}

/** Every tile is asked for once: what was read for one tree stays true for it. */
export function tilesOnce(storage: Pick<LogStorage, 'tile'>): TileReader {
  const known = new Map<string, Promise<readonly TreeHash[]>>()
  return (level, index) => {
    const name = `${level}/${index}`
    const reading =
      known.get(name) ?? storage.tile(level, index).then((bytes) => hashesOfTile(bytes ?? new Uint8Array()) ?? [])
    known.set(name, reading)
    return reading
  }
}

export function isSame(one: TreeHash, other: TreeHash): boolean {
  return Buffer.compare(one, other) === 0
}
