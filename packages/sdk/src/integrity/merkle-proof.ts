/** Checking proofs of the log: RFC 9162 §2.1.3.2 and §2.1.4.2. What is proven follows from the root hash alone. */
import { type HashFunction, nodeHash, type TreeHash } from './merkle-tree.ts'
import { accepted, type Outcome, refused } from './outcome.ts'
import { sha256 } from './sha256.ts'

/** Why a proof was refused. */
export type ProofCode = 'ERR_PROOF_RANGE' | 'ERR_PROOF_HASH_LENGTH' | 'ERR_PROOF_LENGTH' | 'ERR_PROOF_ROOT'

/** A claim that a leaf stands at an index of a tree. */
export interface InclusionClaim {
  /** Index of the leaf, from 0. */
  readonly index: number
  /** Leaves in the tree. */
  readonly size: number
  /** Hash of the leaf, made by the verifier from the entry. */
  readonly leaf: TreeHash
  /** Root hash of the tree, from a checkpoint that was verified. */
  readonly root: TreeHash
  /** The proof, from the leaf upwards. */
  readonly proof: readonly TreeHash[]
}

/** A claim that a tree continues an older one. */
export interface ConsistencyClaim {
  /** Leaves in the older tree. */
  readonly oldSize: number
  /** Root hash of the older tree. */
  readonly oldRoot: TreeHash
  /** Leaves in the newer tree. */
  readonly newSize: number
  /** Root hash of the newer tree. */
  readonly newRoot: TreeHash
  /** The proof. */
  readonly proof: readonly TreeHash[]
}

const HASH_LENGTH = 32

/**
 * Whether the leaf stands at the index.
 *
 * @returns accepted, or a code: the numbers do not fit together, a hash is not 32 bytes, the proof is too long or too
 * short for these numbers, or it leads to another root. Never throws.
 */
export async function verifyInclusion(
  claim: InclusionClaim,
  hash: HashFunction = sha256,
): Promise<Outcome<'included', ProofCode>> {
  const { index, size, leaf, root, proof } = claim
  if (!isCount(index) || !isCount(size) || index >= size) {
    return refused('ERR_PROOF_RANGE', 'the index is not inside the tree', '/index')
  }
  if (![leaf, root, ...proof].every(isHash)) return refused('ERR_PROOF_HASH_LENGTH', 'a hash is not 32 bytes', '/proof')

  const walk = startAt(index, size - 1)
  let reached = leaf
  for (const sibling of proof) {
    if (walk.last === 0) return refused('ERR_PROOF_LENGTH', 'the proof is too long', '/proof')
    reached = isRightOrLast(walk) ? await nodeHash(sibling, reached, hash) : await nodeHash(reached, sibling, hash)
    climb(walk)
  }
  if (walk.last !== 0) return refused('ERR_PROOF_LENGTH', 'the proof is too short', '/proof')
  return isSame(reached, root) ? accepted('included') : refused('ERR_PROOF_ROOT', 'the proof leads to another root')
}

/**
 * Whether the newer tree begins with the older one.
 *
 * @returns accepted, or a code as for `verifyInclusion`. The empty tree is the beginning of every tree. Never throws.
 */
export async function verifyConsistency(
  claim: ConsistencyClaim,
  hash: HashFunction = sha256,
): Promise<Outcome<'consistent', ProofCode>> {
  const { oldSize, oldRoot, newSize, newRoot, proof } = claim
  if (!isCount(oldSize) || !isCount(newSize) || oldSize > newSize) {
    return refused('ERR_PROOF_RANGE', 'the older tree is larger than the newer one', '/oldSize')
  }
  if (![oldRoot, newRoot, ...proof].every(isHash)) {
    return refused('ERR_PROOF_HASH_LENGTH', 'a hash is not 32 bytes', '/proof')
  }
  return oldSize === 0 || oldSize === newSize ? trivial(claim, hash) : folded(claim, hash)
}

/** Equal trees, or an empty one: the proof is empty and the roots speak for themselves. */
async function trivial(claim: ConsistencyClaim, hash: HashFunction): Promise<Outcome<'consistent', ProofCode>> {
  const { oldSize, oldRoot, newSize, newRoot, proof } = claim
  if (proof.length > 0) return refused('ERR_PROOF_LENGTH', 'the proof is too long', '/proof')
  const isOldRoot = oldSize > 0 || isSame(oldRoot, await hash(new Uint8Array()))
  const isNewRoot = oldSize !== newSize || isSame(oldRoot, newRoot)
  return isOldRoot && isNewRoot ? accepted('consistent') : refused('ERR_PROOF_ROOT', 'the roots do not fit together')
}

async function folded(claim: ConsistencyClaim, hash: HashFunction): Promise<Outcome<'consistent', ProofCode>> {
  const { oldSize, oldRoot, newSize, newRoot, proof } = claim
  const walk = startAt(oldSize - 1, newSize - 1)
  while (walk.at % 2 === 1) halve(walk)
  const isComplete = walk.at === 0
  const [first = oldRoot, ...rest] = isComplete ? [oldRoot, ...proof] : proof
  if (proof.length === 0) return refused('ERR_PROOF_LENGTH', 'the proof is too short', '/proof')

  let [older, newer] = [first, first]
  for (const sibling of rest) {
    if (walk.last === 0) return refused('ERR_PROOF_LENGTH', 'the proof is too long', '/proof')
    if (isRightOrLast(walk)) {
      older = await nodeHash(sibling, older, hash)
      newer = await nodeHash(sibling, newer, hash)
    } else {
      newer = await nodeHash(newer, sibling, hash)
    }
    climb(walk)
  }
  if (walk.last !== 0) return refused('ERR_PROOF_LENGTH', 'the proof is too short', '/proof')
  const isProven = isSame(older, oldRoot) && isSame(newer, newRoot)
  return isProven ? accepted('consistent') : refused('ERR_PROOF_ROOT', 'the proof leads to other roots')
}

/** A place in a level of the tree, and the last place of that level (fn and sn of the RFC). */
interface Walk {
  at: number
  last: number
}

function startAt(at: number, last: number): Walk {
  return { at, last }
}

function isRightOrLast({ at, last }: Walk): boolean {
  return at % 2 === 1 || at === last
}

/** Goes up past the levels where the node has no sibling, then one level more. */
function climb(walk: Walk): void {
  if (isRightOrLast(walk)) {
    while (walk.at % 2 === 0 && walk.at !== 0) halve(walk)
  }
  halve(walk)
}

/** Sizes go to 2^53, so this divides instead of shifting 32 bits. */
function halve(walk: Walk): void {
  walk.at = Math.floor(walk.at / 2)
  walk.last = Math.floor(walk.last / 2)
}

function isCount(value: number): boolean {
  return Number.isSafeInteger(value) && value >= 0
}

function isHash(hash: TreeHash): boolean {
  return hash.length === HASH_LENGTH
}

function isSame(one: TreeHash, other: TreeHash): boolean {
  return one.length === other.length && one.every((byte, index) => byte === other[index])
}
