/** A log at one checkpoint, read from its tiles: what stands at an index, each answer proven up to the root hash. */
import { type Checkpoint, readSignedCheckpoint } from './checkpoint.ts'
import { verifyInclusion } from './merkle-proof.ts'
import { inclusionProof, type SubtreeReader, subtreesOf, type TreeHash, treeRoot } from './merkle-tree.ts'
import { accepted, type Outcome } from './outcome.ts'
import type { NoteVerifier } from './signed-note.ts'
import { TILE_WIDTH, tilePath } from './tile.ts'
import { hashesOfTile, subtreesFromTiles } from './tile-tree.ts'

/** Where the files of a log come from: a service, or a folder they were saved in. */
export interface LogFiles {
  /** The signed checkpoint. */
  readonly checkpoint: Uint8Array
  /** The bytes at a path such as `tile/0/000.p/12`; undefined where there are none. */
  readonly read: (path: string) => Promise<Uint8Array | undefined>
}

/** Thrown when the files of a log are not those that its checkpoint stands for, or lack one that is needed. */
export class LogViewError extends Error {
  override readonly name = 'LogViewError'
  readonly code = 'ERR_LOG_TILES'
}

/** A log at one checkpoint. What its files do not show ends in a LogViewError. */
export interface LogView {
  /** The checkpoint that everything is proven up to. */
  readonly checkpoint: Checkpoint
  /** Whether a log that the reader trusts signed it. */
  readonly isTrusted: boolean
  /** The leaf hash at an index; undefined where the tree ends before. */
  readonly leafAt: (index: number) => Promise<TreeHash | undefined>
  /** Index of a leaf hash, looked for from the newest entry back; undefined where the tree does not hold it. */
  readonly indexOf: (leaf: TreeHash) => Promise<number | undefined>
  /** Root hash of the beginning of the tree; undefined where the tree ends before. */
  readonly rootOf: (size: number) => Promise<TreeHash | undefined>
}

/**
 * A view of a log.
 *
 * @param logs keys of the logs that the reader trusts; where one has the origin of the checkpoint, it must have signed it
 * @returns the view, or `ERR_LOG_CHECKPOINT`. Tiles are read when they are asked for, each once.
 */
export async function openLogView(
  files: LogFiles,
  logs: readonly NoteVerifier[],
): Promise<Outcome<LogView, 'ERR_LOG_CHECKPOINT'>> {
  const signed = await readSignedCheckpoint(files.checkpoint, logs)
  if (!signed.ok) return signed
  const { isTrusted, ...checkpoint } = signed.value
  const { size } = checkpoint
  const tile = tileReader(files, size)
  const tree = { checkpoint, subtrees: subtreesFromTiles(tile) }
  const isInside = (index: number) => Number.isSafeInteger(index) && index >= 0 && index < size
  return accepted({
    checkpoint,
    isTrusted,
    leafAt: async (index) => (isInside(index) ? provenLeaf(tree, index) : undefined),
    indexOf: async (leaf) => {
      const leaves = await provenLeaves(tree, tile)
      const at = leaves.findLastIndex((each) => isSame(each, leaf))
      return at < 0 ? undefined : at
    },
    rootOf: async (beginning) => {
      if (beginning === size) return checkpoint.root
      return isInside(beginning) ? provenRoot(tree, beginning) : undefined
    },
  })
}

interface Tree {
  readonly checkpoint: Checkpoint
  readonly subtrees: SubtreeReader
}

async function provenLeaf({ checkpoint: { size, root }, subtrees }: Tree, index: number): Promise<TreeHash> {
  const [leaf, proof] = await whereShown(async () => [
    await subtrees(0, index),
    await inclusionProof(subtrees, { index, size }),
  ])
  if ((await verifyInclusion({ index, size, leaf, root, proof })).ok) return leaf
  throw new LogViewError(`the tiles do not lead from entry ${index} to the signed root hash`)
}

/** Every leaf: that none of them is the one looked for has to be proven as well. */
async function provenLeaves(
  { checkpoint: { size, root } }: Tree,
  tile: (level: number, index: number) => Promise<readonly TreeHash[]>,
): Promise<readonly TreeHash[]> {
  const tiles: TreeHash[][] = []
  for (let index = 0; index * TILE_WIDTH < size; index += 1) tiles.push([...(await tile(0, index))])
  const leaves = tiles.flat()
  if (leaves.length === size && isSame(await treeRoot(await subtreesOf(leaves), size), root)) return leaves
  throw new LogViewError('the tiles do not lead to the signed root hash')
}

/** Both roots come from the same tiles, so the smaller tree is the beginning of the signed one. */
async function provenRoot({ checkpoint: { size, root }, subtrees }: Tree, beginning: number): Promise<TreeHash> {
  const [whole, part] = await whereShown(async () => [
    await treeRoot(subtrees, size),
    await treeRoot(subtrees, beginning),
  ])
  if (isSame(whole, root)) return part
  throw new LogViewError('the tiles do not lead to the signed root hash')
}

/** A tile that is missing or too narrow is a RangeError below. */
async function whereShown<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work()
  } catch (error) {
    if (error instanceof RangeError) throw new LogViewError(`a tile is missing: ${error.message}`)
    throw error
  }
}

function tileReader({ read }: LogFiles, size: number): (level: number, index: number) => Promise<readonly TreeHash[]> {
  const known = new Map<string, Promise<readonly TreeHash[]>>()
  const hashesAt = async (path: string) => hashesOfTile((await read(path)) ?? new Uint8Array()) ?? []
  return (level, index) => {
    const width = Math.min(TILE_WIDTH, Math.floor(size / TILE_WIDTH ** level) - index * TILE_WIDTH)
    const path = tilePath({ level, index, width })
    const reading = known.get(path) ?? hashesAt(path)
    known.set(path, reading)
    return reading
  }
}

function isSame(one: TreeHash, other: TreeHash): boolean {
  return one.length === other.length && one.every((byte, at) => byte === other[at])
}
