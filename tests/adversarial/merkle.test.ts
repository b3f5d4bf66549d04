import { createHash } from 'node:crypto'
import { describe, expect, test } from 'vitest'
import {
  type ConsistencyClaim,
  type InclusionClaim,
  verifyConsistency,
  verifyInclusion,
} from '../../packages/sdk/src/integrity/merkle-proof.ts'
import {
  consistencyProof,
  inclusionProof,
  leafHash,
  subtreesOf,
  type TreeHash,
  treeRoot,
} from '../../packages/sdk/src/integrity/merkle-tree.ts'
import { codeOf, fromText, toHex } from './support/bytes.ts'

const LARGEST = 300

/** A synchronous SHA-256 of Node that remembers: the exhaustive tests ask a million times for some 50,000 hashes. */
const made = new Map<string, TreeHash>()
function hash(bytes: Uint8Array): TreeHash {
  const name = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).toString('latin1')
  const remembered = made.get(name) ?? createHash('sha256').update(bytes).digest()
  made.set(name, remembered)
  return remembered
}

const node = (left: TreeHash, right: TreeHash) => hash(Buffer.concat([Buffer.of(1), left, right]))

const leaves = await Promise.all(
  Array.from({ length: LARGEST }, (_, index) => leafHash(fromText(`entry ${index}`), hash)),
)

/** The naive tree: the recursion of RFC 9162 §2.1.1 written down, every range hashed on its own and remembered. */
const known = new Map<string, TreeHash>()
function naiveHash(start: number, end: number): TreeHash {
  if (end - start === 0) return hash(new Uint8Array())
  if (end - start === 1) return leaves[start] ?? new Uint8Array()
  const name = `${start} ${end}`
  const remembered = known.get(name)
  if (remembered !== undefined) return remembered
  const middle = start + naiveSplit(end - start)
  const made = node(naiveHash(start, middle), naiveHash(middle, end))
  known.set(name, made)
  return made
}

/** The largest power of two smaller than n. */
function naiveSplit(n: number): number {
  let k = 1
  while (k * 2 < n) k *= 2
  return k
}

/** PATH of RFC 9162 §2.1.3.1. */
function naivePath(m: number, start: number, end: number): readonly TreeHash[] {
  if (end - start === 1) return []
  const middle = start + naiveSplit(end - start)
  return m < middle
    ? [...naivePath(m, start, middle), naiveHash(middle, end)]
    : [...naivePath(m, middle, end), naiveHash(start, middle)]
}

/** SUBPROOF of RFC 9162 §2.1.4.1; `m` counts from the beginning of the tree. */
function naiveSubproof(m: number, start: number, end: number, b: boolean): readonly TreeHash[] {
  if (m === end) return b ? [] : [naiveHash(start, end)]
  const middle = start + naiveSplit(end - start)
  return m <= middle
    ? [...naiveSubproof(m, start, middle, b), naiveHash(middle, end)]
    : [...naiveSubproof(m, middle, end, false), naiveHash(start, middle)]
}

const tree = await subtreesOf(leaves, hash)
const hexes = (hashes: readonly TreeHash[]) => hashes.map(toHex).join(' ')

describe(`every tree of up to ${LARGEST} leaves, against a naive tree`, () => {
  test('has the same root', async () => {
    for (let size = 0; size <= LARGEST; size += 1) {
      expect(toHex(await treeRoot(tree, size, hash))).toBe(toHex(naiveHash(0, size)))
    }
  })

  test('has the same inclusion proof for every leaf, and it verifies', async () => {
    const wrong: string[] = []
    for (let size = 1; size <= LARGEST; size += 1) {
      const root = naiveHash(0, size)
      for (let index = 0; index < size; index += 1) {
        const proof = await inclusionProof(tree, { index, size }, hash)
        const isNaive = hexes(proof) === hexes(naivePath(index, 0, size))
        const verified = await verifyInclusion({ index, size, leaf: naiveHash(index, index + 1), root, proof }, hash)
        if (!isNaive || !verified.ok) wrong.push(`${index} of ${size}`)
      }
    }
    expect(wrong).toEqual([])
  })

  test('has the same consistency proof with every smaller one, and it verifies', async () => {
    const wrong: string[] = []
    for (let newSize = 0; newSize <= LARGEST; newSize += 1) {
      const newRoot = naiveHash(0, newSize)
      for (let oldSize = 0; oldSize <= newSize; oldSize += 1) {
        const proof = await consistencyProof(tree, { oldSize, newSize }, hash)
        const isNaive = hexes(proof) === hexes(oldSize === 0 ? [] : naiveSubproof(oldSize, 0, newSize, true))
        const claim = { oldSize, oldRoot: naiveHash(0, oldSize), newSize, newRoot, proof }
        if (!isNaive || !(await verifyConsistency(claim, hash)).ok) wrong.push(`${oldSize} to ${newSize}`)
      }
    }
    expect(wrong).toEqual([])
  })
})

function flipped(bytes: TreeHash, at: number): TreeHash {
  const copy = Uint8Array.from(bytes)
  copy[at % copy.length] = (copy[at % copy.length] ?? 0) ^ 1
  return copy
}

/** Every proof one accident away: a bit flipped, a hash dropped, doubled, added, cut short, or two exchanged. */
function proofMutants(proof: readonly TreeHash[]): readonly (readonly TreeHash[])[] {
  const stray = new Uint8Array(32)
  const each = proof.flatMap((element, at) => [
    proof.with(at, flipped(element, at * 7)),
    proof.toSpliced(at, 1),
    proof.toSpliced(at, 0, element),
    proof.with(at, element.slice(1)),
    ...(at > 0 ? [proof.with(at, proof[at - 1] ?? stray).with(at - 1, element)] : []),
  ])
  return [...each, [...proof, stray], [stray, ...proof], ...(proof.length > 1 ? [proof.toReversed(), []] : [])]
}

const MUTATED = 40

describe(`every proof of trees of up to ${MUTATED} leaves`, () => {
  test('of inclusion is refused once anything in it is altered', async () => {
    const survivors: string[] = []
    for (let size = 1; size <= MUTATED; size += 1) {
      for (let index = 0; index < size; index += 1) {
        const claim: InclusionClaim = {
          index,
          size,
          leaf: naiveHash(index, index + 1),
          root: naiveHash(0, size),
          proof: naivePath(index, 0, size),
        }
        const mutants = [
          ...proofMutants(claim.proof).map((proof) => ({ ...claim, proof })),
          { ...claim, leaf: flipped(claim.leaf, index) },
          { ...claim, root: flipped(claim.root, index) },
          { ...claim, root: naiveHash(0, size + 1) },
          { ...claim, leaf: claim.root, proof: claim.proof.length > 0 ? claim.proof : [claim.root] },
          ...Array.from({ length: size }, (_, other) => ({ ...claim, index: other })).filter(
            (each) => each.index !== index,
          ),
          { ...claim, index: size },
          { ...claim, index: -1 },
          { ...claim, index: index + 0.5 },
        ]
        for (const [at, mutant] of mutants.entries()) {
          if ((await verifyInclusion(mutant, hash)).ok) survivors.push(`${index} of ${size}, mutant ${at}`)
        }
      }
    }
    expect(survivors).toEqual([])
  })

  test('of consistency is refused once anything in it is altered', async () => {
    const survivors: string[] = []
    for (let newSize = 1; newSize <= MUTATED; newSize += 1) {
      for (let oldSize = 1; oldSize <= newSize; oldSize += 1) {
        const claim: ConsistencyClaim = {
          oldSize,
          oldRoot: naiveHash(0, oldSize),
          newSize,
          newRoot: naiveHash(0, newSize),
          proof: naiveSubproof(oldSize, 0, newSize, true),
        }
        const mutants = [
          ...proofMutants(claim.proof).map((proof) => ({ ...claim, proof })),
          { ...claim, oldRoot: flipped(claim.oldRoot, oldSize) },
          { ...claim, newRoot: flipped(claim.newRoot, newSize) },
          ...(oldSize < newSize ? [{ ...claim, oldRoot: claim.newRoot, newRoot: claim.oldRoot }] : []),
          { ...claim, oldSize: newSize + 1 },
          { ...claim, oldSize: -1 },
          { ...claim, newSize: Number.NaN },
        ]
        for (const [at, mutant] of mutants.entries()) {
          if ((await verifyConsistency(mutant, hash)).ok) survivors.push(`${oldSize} to ${newSize}, mutant ${at}`)
        }
      }
    }
    expect(survivors).toEqual([])
  })
})

describe('what a proof says when it is refused', () => {
  const claim: InclusionClaim = {
    index: 2,
    size: 5,
    leaf: naiveHash(2, 3),
    root: naiveHash(0, 5),
    proof: naivePath(2, 0, 5),
  }
  const rows: Readonly<Record<string, readonly [change: Partial<InclusionClaim>, code: string]>> = {
    'an index outside the tree': [{ index: 5 }, 'ERR_PROOF_RANGE'],
    'a size beyond 2^53': [{ size: 2 ** 53 }, 'ERR_PROOF_RANGE'],
    'a hash of 31 bytes': [{ leaf: new Uint8Array(31) }, 'ERR_PROOF_HASH_LENGTH'],
    'a hash too many': [{ proof: [...claim.proof, claim.root] }, 'ERR_PROOF_LENGTH'],
    'a hash too few': [{ proof: claim.proof.slice(1) }, 'ERR_PROOF_LENGTH'],
    'another root': [{ root: naiveHash(0, 4) }, 'ERR_PROOF_ROOT'],
  }
  for (const [says, [change, code]] of Object.entries(rows)) {
    test(`${says}: ${code}`, async () =>
      expect(codeOf(await verifyInclusion({ ...claim, ...change }, hash))).toBe(code))
  }

  const growth: ConsistencyClaim = {
    oldSize: 3,
    oldRoot: naiveHash(0, 3),
    newSize: 7,
    newRoot: naiveHash(0, 7),
    proof: naiveSubproof(3, 0, 7, true),
  }
  const growthRows: Readonly<Record<string, readonly [change: Partial<ConsistencyClaim>, code: string]>> = {
    'an older tree that is larger': [{ oldSize: 8 }, 'ERR_PROOF_RANGE'],
    'a root of 33 bytes': [{ newRoot: new Uint8Array(33) }, 'ERR_PROOF_HASH_LENGTH'],
    'no hash at all': [{ proof: [] }, 'ERR_PROOF_LENGTH'],
    'a hash too few': [{ proof: growth.proof.slice(0, -1) }, 'ERR_PROOF_LENGTH'],
    'a hash too many': [{ proof: [...growth.proof, growth.newRoot] }, 'ERR_PROOF_LENGTH'],
    'another older root': [{ oldRoot: naiveHash(0, 2) }, 'ERR_PROOF_ROOT'],
    'another newer root': [{ newRoot: naiveHash(0, 6) }, 'ERR_PROOF_ROOT'],
  }
  for (const [says, [change, code]] of Object.entries(growthRows)) {
    test(`of growth, ${says}: ${code}`, async () => {
      expect(codeOf(await verifyConsistency({ ...growth, ...change }, hash))).toBe(code)
    })
  }

  test('a reader in memory throws when it is asked beyond its leaves', async () => {
    await expect(treeRoot(await subtreesOf(leaves.slice(0, 3), hash), 4, hash)).rejects.toThrow(RangeError)
  })

  test('the empty tree begins every tree, and only with its own root and no proof', async () => {
    const empty = { oldSize: 0, oldRoot: hash(new Uint8Array()), newSize: 3, newRoot: naiveHash(0, 3), proof: [] }
    expect(codeOf(await verifyConsistency(empty, hash))).toBe('accepted')
    expect(codeOf(await verifyConsistency({ ...empty, oldRoot: naiveHash(0, 1) }, hash))).toBe('ERR_PROOF_ROOT')
    expect(codeOf(await verifyConsistency({ ...empty, proof: [empty.newRoot] }, hash))).toBe('ERR_PROOF_LENGTH')
  })
})

test('a leaf of a tree of 2^50 leaves is proven with 50 hashes, by arithmetic that does not stop at 32 bits', async () => {
  // All leaves alike, so that every complete subtree of a height has one hash.
  const heights = [leaves[0] ?? new Uint8Array()]
  for (let height = 0; height < 50; height += 1)
    heights.push(node(heights[height] ?? hash(new Uint8Array()), heights[height] ?? hash(new Uint8Array())))
  const read = (level: number) => heights[level] ?? new Uint8Array()
  const [size, index] = [2 ** 50 - 3, 2 ** 49 + 12345]
  const root = await treeRoot(read, size, hash)
  const proof = await inclusionProof(read, { index, size }, hash)
  expect(proof.length).toBeGreaterThan(45)
  expect(codeOf(await verifyInclusion({ index, size, leaf: read(0), root, proof }, hash))).toBe('accepted')

  const older = 2 ** 33 + 7
  const consistency = { oldSize: older, oldRoot: await treeRoot(read, older, hash), newSize: size, newRoot: root }
  const path = await consistencyProof(read, { oldSize: older, newSize: size }, hash)
  expect(codeOf(await verifyConsistency({ ...consistency, proof: path }, hash))).toBe('accepted')
})

test('WebCrypto, the default, makes the same hashes', async () => {
  const some = leaves.slice(0, 7)
  const byDefault = await subtreesOf(some)
  expect(toHex(await treeRoot(byDefault, 7))).toBe(toHex(naiveHash(0, 7)))
  expect(toHex(await treeRoot(byDefault, 0))).toBe(toHex(naiveHash(0, 0)))
})
