/** The log: entries in, places and proofs out. */
import { createHash } from 'node:crypto'
import type { LogReceipt } from '@fairpull/sdk/contract'
import { entryBundle, type Tile, type TreeHash } from '@fairpull/sdk/verify'
import type { MerkleLog } from '../ports.ts'
import { createBatcher } from './batcher.ts'
import { extendTree, leafOf } from './extend-tree.ts'
import { LogStopped } from './log-stopped.ts'
import type { HeldLog, LogStorage } from './log-storage.ts'
import { type PublishDeps, type Published, proofIn, publishHead } from './publish.ts'

/** Entries that one transaction adds at most. */
const ENTRIES_AT_ONCE = 500

/** Calls that share one checkpoint. */
const CALLS_AT_ONCE = 10_000

/** Root hash of the empty tree: SHA-256 of nothing. */
export const EMPTY_ROOT: TreeHash = createHash('sha256').digest()

/**
 * The log over its storage.
 *
 * Appends of one replica are gathered and committed together; replicas take turns at the head. What is appended is durable
 * before `append` resolves, and only a committed head is ever signed.
 */
export function createMerkleLog(deps: PublishDeps): MerkleLog {
  const { storage } = deps
  const last: { published: Published | undefined } = { published: undefined }
  const appendOne = createBatcher(ENTRIES_AT_ONCE, (entries: readonly Uint8Array[]) => appendAll(entries, storage))
  const publish = createBatcher(CALLS_AT_ONCE, async (sizes: readonly number[]) => {
    const isCovered = (last.published?.size ?? -1) >= Math.max(...sizes)
    const published =
      isCovered && last.published !== undefined ? last.published : await publishHead(last.published, deps)
    last.published = published
    return sizes.map(() => published)
  })
  return {
    append: (entries) => Promise.all(entries.map(appendOne)),
    receipt: async (index) => receiptIn(await publish(index + 1), index),
    checkpoint: async () => (await publish(Number.POSITIVE_INFINITY)).checkpoint,
    stopped: async () => (await storage.head()).stopped,
    tile: async (tile) => {
      const { size } = await publish(lastLeafOf(tile))
      return lastLeafOf(tile) <= size ? tileBytes(tile, storage) : undefined
    },
  }
}

async function receiptIn(published: Published, index: number): Promise<LogReceipt> {
  if (index >= published.size) throw new RangeError(`the log has no entry ${index}`)
  const proof = await proofIn(published, index)
  return { index, checkpoint: published.checkpoint, proof: proof.map((hash) => Buffer.from(hash).toString('base64')) }
}

/** An entry that is in the log already keeps its place, so that an append can be repeated. */
async function appendAll(entries: readonly Uint8Array[], storage: LogStorage): Promise<readonly number[]> {
  const leaves = await Promise.all(entries.map(leafOf))
  const named = entries.map((entry, at) => ({ entry, leaf: leaves[at] ?? EMPTY_ROOT, name: hexOf(leaves[at]) }))
  return storage.extend(async (held) => {
    if (held.head.stopped !== null) throw new LogStopped(held.head.stopped)
    const places = new Map(await held.indicesOf(leaves))
    const added = [...new Map(named.map((each) => [each.name, each])).values()].filter(({ name }) => !places.has(name))
    await addTo(held, added)
    for (const [at, { name }] of added.entries()) places.set(name, held.head.size + at)
    return named.map(({ name }) => places.get(name) ?? -1)
  })
}

async function addTo(held: HeldLog, added: readonly { readonly entry: Uint8Array; readonly leaf: TreeHash }[]) {
  if (added.length === 0) return
  const extension = await extendTree(held.head, added, (level, index) => held.tile(level, index))
  await held.write(extension)
}

/** Size from which on a tree holds the whole tile. */
function lastLeafOf({ level, index, width }: Tile): number {
  return (index * 256 + width) * (level === 'entries' ? 1 : 256 ** level)
}

async function tileBytes({ level, index, width }: Tile, storage: LogStorage): Promise<Uint8Array | undefined> {
  if (level === 'entries') return entryBundle(await storage.entries(index * 256, index * 256 + width))
  return (await storage.tile(level, index))?.subarray(0, width * 32)
}

function hexOf(hash: TreeHash | undefined): string {
  return Buffer.from(hash ?? EMPTY_ROOT).toString('hex')
}
