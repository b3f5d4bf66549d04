/** The tree made longer: which tiles change, and the new root hash. No I/O of its own. */
import {
  hashesOfTile,
  leafHash,
  nodeHash,
  subtreesFromTiles,
  subtreesOf,
  TILE_WIDTH,
  type TreeHash,
  treeRoot,
} from '@fairpull/sdk/verify'
import type { LogExtension, LogHead, StoredTile } from './log-storage.ts'
import { sha256Now } from './sha256-now.ts'

/** Reads the bytes of a tile that is kept; undefined when there is none. */
export type ReadTile = (level: number, index: number) => Promise<Uint8Array | undefined>

/** Leaf hash of an entry. */
export function leafOf(entry: Uint8Array): Promise<TreeHash> {
  return leafHash(entry, sha256Now)
}

/** What has to be written so that `entries` follow the tree of `head`. */
export async function extendTree(
  { size }: Pick<LogHead, 'size'>,
  entries: readonly { readonly entry: Uint8Array; readonly leaf: TreeHash }[],
  read: ReadTile,
): Promise<LogExtension> {
  const changed = new Map<string, TreeHash[]>()
  const hashes = (level: number, index: number) => changedTile(changed, level, index, read)
  for (const [at, { leaf }] of entries.entries()) await addHash({ level: 0, at: size + at, hash: leaf }, hashes)
  const newSize = size + entries.length
  const subtrees = subtreesFromTiles((level, index) => hashes(level, index), sha256Now)
  const root = await treeRoot(subtrees, newSize, sha256Now)
  return {
    entries: entries.map((each, at) => ({ ...each, index: size + at })),
    tiles: [...changed].map(([name, tile]) => storedTile(name, tile)),
    size: newSize,
    root,
  }
}

/** A tile that becomes full leaves the hash of all its hashes in the level above. */
async function addHash(
  { level, at, hash }: { readonly level: number; readonly at: number; readonly hash: TreeHash },
  hashes: (level: number, index: number) => Promise<TreeHash[]>,
): Promise<void> {
  const index = Math.floor(at / TILE_WIDTH)
  const tile = await hashes(level, index)
  if (tile.length !== at % TILE_WIDTH) throw new TypeError(`tile ${index} at level ${level} does not fit the head`)
  tile.push(hash)
  if (tile.length < TILE_WIDTH) return
  const subtree = await subtreesOf(tile, sha256Now)
  const above = await nodeHash(await subtree(7, 0), await subtree(7, 1), sha256Now)
  await addHash({ level: level + 1, at: index, hash: above }, hashes)
}

async function changedTile(
  changed: Map<string, TreeHash[]>,
  level: number,
  index: number,
  read: ReadTile,
): Promise<TreeHash[]> {
  const name = `${level}/${index}`
  const known = changed.get(name)
  if (known !== undefined) return known
  const kept = hashesOfTile((await read(level, index)) ?? new Uint8Array())
  if (kept === undefined) throw new TypeError(`tile ${index} at level ${level} is damaged`)
  const tile = [...kept]
  changed.set(name, tile)
  return tile
}

function storedTile(name: string, hashes: readonly TreeHash[]): StoredTile {
  const [level = '', index = ''] = name.split('/')
  return { level: Number(level), index: Number(index), hashes: Buffer.concat(hashes) }
}
