import { describe, expect, test } from 'vitest'
import { verifyConsistency, verifyInclusion } from '../../packages/sdk/src/integrity/merkle-proof.ts'
import {
  consistencyProof,
  inclusionProof,
  leafHash,
  subtreesOf,
  treeRoot,
} from '../../packages/sdk/src/integrity/merkle-tree.ts'
import { fromHex, toHex } from '../adversarial/support/bytes.ts'
import { expectPublishedExactly, published, publishedAll, testPublished, titleOf } from '../support/published.ts'

const roots = publishedAll('mth-').filter(({ id }) => /^mth-\d$/.test(id))
const entries = published('mth-8').inputs.leaves_hex as readonly string[]
const leaves = await Promise.all(entries.map((entry) => leafHash(fromHex(entry))))
const tree = await subtreesOf(leaves)
const rootAt = (size: number) => fromHex(String(published(`mth-${size}`).expected))

describe('RFC 6962 §2.1 (RFC 9162 §2.1.1): Merkle tree hash', () => {
  for (const check of roots) {
    test(titleOf(check, `root of the first ${String(check.inputs.n)} leaves`), async () => {
      expectPublishedExactly(check, toHex(await treeRoot(tree, Number(check.inputs.n))))
    })
  }
})

describe('RFC 6962 §2.1.1 (RFC 9162 §2.1.3): inclusion proof', () => {
  testPublished('mth-incl-5-8', async (check) => {
    const [index, size] = [Number(check.inputs.leafIdx), Number(check.inputs.size)]
    const proof = await inclusionProof(tree, { index, size })
    expectPublishedExactly(check, proof.map(toHex))
    const claim = { index, size, leaf: leaves[index] ?? fromHex(''), root: rootAt(size), proof }
    expect(await verifyInclusion(claim)).toMatchObject({ ok: true })
  })
})

describe('RFC 6962 §2.1.2 (RFC 9162 §2.1.4): consistency proof', () => {
  for (const [id, oldSize, newSize] of [
    ['mth-cons-6-8', 6, 8],
    ['mth-cons-2-5', 2, 5],
  ] as const) {
    testPublished(id, async (check) => {
      const proof = await consistencyProof(tree, { oldSize, newSize })
      expectPublishedExactly(check, proof.map(toHex))
      const claim = { oldSize, newSize, oldRoot: rootAt(oldSize), newRoot: rootAt(newSize), proof }
      expect(await verifyConsistency(claim)).toMatchObject({ ok: true })
    })
  }
})
