/**
 * The Merkle tree of the log: RFC 9162 §2.1 (the same tree as RFC 6962 §2.1), SHA-256.
 *
 * The tree is never held whole. Its functions read the hashes of complete subtrees through one function, so the same
 * arithmetic serves a list in memory, tiles in a database and tiles fetched by a monitor.
 */
import { sha256 } from './sha256.ts'

/** A hash of the tree, 32 bytes. */
export type TreeHash = Uint8Array

/** SHA-256 by whoever has the fastest: WebCrypto by default, a synchronous one where many hashes are made. */
export type HashFunction = (bytes: Uint8Array<ArrayBuffer>) => TreeHash | Promise<TreeHash>

/**
 * The hash of the complete subtree of 2^level leaves that begins at leaf index · 2^level.
 *
 * Only asked for subtrees that lie wholly inside the tree; level 0 is the leaf hashes.
 */
export type SubtreeReader = (level: number, index: number) => TreeHash | Promise<TreeHash>

const LEAF_PREFIX = 0
const NODE_PREFIX = 1

/** Hash of an entry: SHA-256(0x00 ‖ entry). */
export async function leafHash(entry: Uint8Array, hash: HashFunction = sha256): Promise<TreeHash> {
  return hash(prefixed(LEAF_PREFIX, entry))
}

/** Hash of two subtrees: SHA-256(0x01 ‖ left ‖ right). */
export async function nodeHash(left: TreeHash, right: TreeHash, hash: HashFunction = sha256): Promise<TreeHash> {
  return hash(prefixed(NODE_PREFIX, left, right))
}

/**
 * Root hash of the first `size` leaves: MTH(D[0:size]); of no leaves, SHA-256 of nothing.
 *
 * @param size [leaves], whole, from 0 to 2^53 - 1
 */
export async function treeRoot(read: SubtreeReader, size: number, hash: HashFunction = sha256): Promise<TreeHash> {
  return size === 0 ? hash(new Uint8Array()) : rangeHash(read, { start: 0, size }, hash)
}

/**
 * Inclusion proof of a leaf: PATH(index, D[0:size]) of RFC 9162 §2.1.3.1, from the leaf upwards.
 *
 * @param index whole, from 0, below `size`
 */
export async function inclusionProof(
  read: SubtreeReader,
  { index, size }: { readonly index: number; readonly size: number },
  hash: HashFunction = sha256,
): Promise<readonly TreeHash[]> {
  const proof: TreeHash[] = []
  let range: LeafRange = { start: 0, size }
  while (range.size > 1) {
    const [left, right] = halves(range)
    const isLeft = index < right.start
    proof.push(await rangeHash(read, isLeft ? right : left, hash))
    range = isLeft ? left : right
  }
  return proof.reverse()
}

/**
 * Consistency proof: PROOF(oldSize, D[0:newSize]) of RFC 9162 §2.1.4.1; empty when the sizes are equal or the old is 0.
 *
 * @param oldSize whole, from 0, at most `newSize`
 */
export async function consistencyProof(
  read: SubtreeReader,
  { oldSize, newSize }: { readonly oldSize: number; readonly newSize: number },
  hash: HashFunction = sha256,
): Promise<readonly TreeHash[]> {
  const proof: TreeHash[] = []
  if (oldSize === 0) return proof
  let range: LeafRange = { start: 0, size: newSize }
  let isOldRoot = true
  while (range.start + range.size !== oldSize) {
    const [left, right] = halves(range)
    const isLeft = oldSize <= right.start
    proof.push(await rangeHash(read, isLeft ? right : left, hash))
    range = isLeft ? left : right
    isOldRoot &&= isLeft
  }
  // The verifier knows the old root, so it is left out where the old tree is one complete subtree.
  if (!isOldRoot) proof.push(await rangeHash(read, range, hash))
  return proof.reverse()
}

/** A reader over leaf hashes in memory; the hashes above them are made once. */
export async function subtreesOf(leafHashes: readonly TreeHash[], hash: HashFunction = sha256): Promise<SubtreeReader> {
  const levels: (readonly TreeHash[])[] = [leafHashes]
  for (let level = leafHashes; level.length > 1; ) {
    const above: TreeHash[] = []
    for (let at = 0; at + 1 < level.length; at += 2) {
      above.push(await nodeHash(hashAt(level, at), hashAt(level, at + 1), hash))
    }
    levels.push(above)
    level = above
  }
  return (level, index) => hashAt(levels[level] ?? [], index)
}

interface LeafRange {
  readonly start: number
  readonly size: number
}

/** The largest power of two below the size of the range stands left, the rest right. */
function halves({ start, size }: LeafRange): readonly [left: LeafRange, right: LeafRange] {
  const left = 2 ** (bitLength(size - 1) - 1)
  return [
    { start, size: left },
    { start: start + left, size: size - left },
  ]
}

async function rangeHash(read: SubtreeReader, range: LeafRange, hash: HashFunction): Promise<TreeHash> {
  const level = bitLength(range.size) - 1
  // A range that is a power of two long begins at a multiple of its length, because every split leaves it so.
  if (range.size === 2 ** level) return read(level, range.start / range.size)
  const [left, right] = halves(range)
  return nodeHash(await rangeHash(read, left, hash), await rangeHash(read, right, hash), hash)
}

/** Binary digits of a whole number; sizes go to 2^53, so shifts of 32 bits will not do. */
function bitLength(value: number): number {
  return value.toString(2).length
}

function hashAt(hashes: readonly TreeHash[], index: number): TreeHash {
  const found = hashes[index]
  if (found === undefined) throw new RangeError(`the tree has no complete subtree ${index} here`)
  return found
}

function prefixed(prefix: number, ...parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(1 + parts.reduce((length, part) => length + part.length, 0))
  bytes[0] = prefix
  let at = 1
  for (const part of parts) {
    bytes.set(part, at)
    at += part.length
  }
  return bytes
}
