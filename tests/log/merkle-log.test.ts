/** The log of the service over a storage in memory: order of effects, proofs, and what stops it. */
import { createHash } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import {
  checkLogReceipt,
  entriesOfBundle,
  hashesOfTile,
  importSigningKey,
  readVerifierKey,
  type SigningKey,
  summaryLogEntry,
  tilesOf,
  verifierKeyText,
  verifyCheckpoint,
} from '../../packages/sdk/src/integrity/index.ts'
import { createBatcher } from '../../packages/service/src/log/batcher.ts'
import { checkLog } from '../../packages/service/src/log/check-log.ts'
import { LogStopped } from '../../packages/service/src/log/log-stopped.ts'
import { createMerkleLog } from '../../packages/service/src/log/merkle-log.ts'
import { createMemoryLog, createMemoryLogStorage, createMemoryMark } from '../support/memory-log.ts'

const ORIGIN = 'log.example.org'
const encoder = new TextEncoder()
const entriesFrom = (from: number, count: number) =>
  Array.from({ length: count }, (_, at) => encoder.encode(`entry ${from + at}`))

let key: SigningKey

beforeAll(async () => {
  // RFC 8037 appendix A.1.
  const imported = await importSigningKey({
    kty: 'OKP',
    crv: 'Ed25519',
    d: 'nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A',
    x: '11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo',
  })
  if (!imported.ok) throw new Error(imported.problem.detail)
  key = imported.value
})

async function verifier() {
  const read = await readVerifierKey(await verifierKeyText(ORIGIN, key))
  if (!read.ok) throw new Error(read.problem.detail)
  return read.value
}

async function checkpointOf(text: string) {
  const read = await verifyCheckpoint(encoder.encode(text), await verifier())
  if (!read.ok) throw new Error(read.problem.detail)
  return read.value
}

function hashOf(...parts: readonly Uint8Array[]): Buffer {
  return parts.reduce((hash, part) => hash.update(part), createHash('sha256')).digest()
}

/** Merkle tree hash as RFC 9162 §2.1.1 defines it, written down once more: the halves part at the largest power of two. */
function rootOf(leaves: readonly Buffer[]): Buffer {
  const [first] = leaves
  if (first === undefined) return hashOf()
  if (leaves.length === 1) return first
  const half = 2 ** Math.floor(Math.log2(leaves.length - 1))
  return hashOf(Buffer.from([1]), rootOf(leaves.slice(0, half)), rootOf(leaves.slice(half)))
}

describe('an append', () => {
  test('gives places without gaps, in the order asked, to concurrent callers', async () => {
    const storage = createMemoryLogStorage()
    const [one, other] = [createMemoryLog(storage, key), createMemoryLog(storage, key)]
    const places = await Promise.all([one.append(entriesFrom(0, 300)), other.append(entriesFrom(300, 300))])
    expect(places.flat().sort((a, b) => a - b)).toEqual(Array.from({ length: 600 }, (_, at) => at))
    for (const [at, index] of places.flat().entries()) {
      expect(storage.entriesKept[index]).toEqual(encoder.encode(`entry ${at}`))
    }
  })

  test('of an entry that is there keeps its place and adds nothing, also within one call', async () => {
    const storage = createMemoryLogStorage()
    const log = createMemoryLog(storage, key)
    const [a, b] = entriesFrom(0, 2) as [Uint8Array, Uint8Array]
    expect(await log.append([a, b, a])).toEqual([0, 1, 0])
    expect(await log.append([b])).toEqual([1])
    expect(storage.entriesKept).toHaveLength(2)
  })

  test('leads to the root hash of RFC 9162 at every size around the edges of tiles, and to its tiles', async () => {
    const storage = createMemoryLogStorage()
    const log = createMemoryLog(storage, key)
    const steps = [1, 2, 252, 1, 1, 254, 1, 1, 700, 65_536 - 1213, 1, 300]
    const leaves: Buffer[] = []
    for (const step of steps) {
      const added = entriesFrom(leaves.length, step)
      await log.append(added)
      for (const entry of added) leaves.push(hashOf(Buffer.from([0]), entry))
      const { size, root } = await checkpointOf(await log.checkpoint())
      expect(size).toBe(leaves.length)
      expect(Buffer.compare(root, rootOf(leaves))).toBe(0)
    }
    for (const tile of tilesOf(leaves.length)) {
      const hashes = hashesOfTile((await log.tile(tile)) ?? new Uint8Array())
      expect(hashes).toHaveLength(tile.width)
      const span = 256 ** Number(tile.level)
      const last = (tile.index * 256 + tile.width - 1) * span
      expect(Buffer.compare(hashes?.at(-1) ?? new Uint8Array(), rootOf(leaves.slice(last, last + span)))).toBe(0)
    }
  }, 120_000)

  test('is answered after the commit only: a transaction that fails rejects, and leaves no entry', async () => {
    const storage = createMemoryLogStorage()
    const log = createMemoryLog({ ...storage, extend: () => Promise.reject(new Error('the commit was lost')) }, key)
    await expect(log.append(entriesFrom(0, 1))).rejects.toThrow('the commit was lost')
    expect(storage.entriesKept).toHaveLength(0)
  })
})

describe('a receipt', () => {
  test('proves its entry under the checkpoint it carries, for every entry of a growing log', async () => {
    const storage = createMemoryLogStorage()
    const log = createMemoryLog(storage, key)
    const entries = entriesFrom(0, 520)
    await log.append(entries.slice(0, 300))
    const early = await log.receipt(17)
    await log.append(entries.slice(300))
    for (const [index, entry] of entries.entries()) {
      expect(await checkLogReceipt(entry, await log.receipt(index), [await verifier()])).toMatchObject({
        ok: true,
        value: { status: 'proven', index },
      })
    }
    expect((await checkLogReceipt(entries[17] ?? new Uint8Array(), early, [await verifier()])).ok).toBe(true)
  })

  test('of another entry, with another index, a bent proof or a foreign checkpoint is refused', async () => {
    const log = createMemoryLog(createMemoryLogStorage(), key)
    const jws = 'eyJ.eyJ.sig'
    const entry = await summaryLogEntry(jws)
    await log.append([...entriesFrom(0, 5), entry, ...entriesFrom(5, 3)])
    const receipt = await log.receipt(5)
    const known = [await verifier()]
    const codeOf = async (bytes: Uint8Array, given: unknown) => {
      const outcome = await checkLogReceipt(bytes, given, known)
      return outcome.ok ? outcome.value.status : outcome.problem.code
    }
    expect(await codeOf(entry, receipt)).toBe('proven')
    expect(await codeOf(await summaryLogEntry('eyJ.eyJ.sih'), receipt)).toBe('ERR_LOG_INCLUSION')
    expect(await codeOf(entry, { ...receipt, index: 4 })).toBe('ERR_LOG_INCLUSION')
    expect(await codeOf(entry, { ...receipt, index: -1 })).toBe('ERR_LOG_INCLUSION')
    expect(await codeOf(entry, { ...receipt, proof: receipt.proof.slice(1) })).toBe('ERR_LOG_INCLUSION')
    expect(await codeOf(entry, { ...receipt, checkpoint: receipt.checkpoint.replace('\n9\n', '\n8\n') })).toBe(
      'ERR_LOG_CHECKPOINT',
    )
    expect(await codeOf(entry, { ...receipt, checkpoint: 'nothing' })).toBe('ERR_LOG_CHECKPOINT')
    for (const form of [null, 'text', [], {}, { ...receipt, proof: 'x' }, { ...receipt, proof: ['no base64'] }]) {
      expect(await codeOf(entry, form)).toBe('ERR_LOG_RECEIPT_FORM')
    }
    expect(await checkLogReceipt(entry, receipt, [])).toMatchObject({
      ok: true,
      value: { status: 'log-unknown', index: null },
    })
  })
})

describe('the log stops, on all replicas, and signs nothing more', () => {
  test('when the database holds fewer entries than were signed: a backup was restored', async () => {
    const storage = createMemoryLogStorage()
    const mark = createMemoryMark()
    const log = createMerkleLog({ storage, key, mark })
    await log.append(entriesFrom(0, 3))
    await log.checkpoint()
    const restored = createMemoryLogStorage()
    const after = createMerkleLog({ storage: restored, key, mark })
    await createMemoryLog(restored, key).append(entriesFrom(0, 2))
    await expect(after.checkpoint()).rejects.toThrow(LogStopped)
    await expect(after.append(entriesFrom(7, 1))).rejects.toThrow(LogStopped)
    expect([await log.stopped(), await after.stopped()]).toEqual([null, expect.stringContaining('ERR_LOG_SMALLER')])
    expect((await checkLog(restored, mark)).faults).toEqual([
      'a tree of 3 entries was signed, and the database holds 2: restore a newer backup',
    ])
  })

  test('when a restored backup has grown past the mark with other entries', async () => {
    const mark = createMemoryMark()
    const first = createMerkleLog({ storage: createMemoryLogStorage(), key, mark })
    await first.append(entriesFrom(0, 3))
    await first.checkpoint()
    const forked = createMemoryLogStorage()
    await createMemoryLog(forked, key).append([...entriesFrom(0, 2), ...entriesFrom(100, 5)])
    await expect(createMerkleLog({ storage: forked, key, mark }).checkpoint()).rejects.toThrow('does not continue')
  })

  test('when an entry, a tile or the root hash was altered in the database', async () => {
    type Alteration = (storage: ReturnType<typeof createMemoryLogStorage>) => void
    const alterations: readonly (readonly [code: string, Alteration])[] = [
      ['ERR_LOG_ENTRY_ALTERED', (storage) => storage.entriesKept.splice(1, 1, encoder.encode('another'))],
      ['ERR_LOG_ENTRY_ALTERED', (storage) => storage.entriesKept.pop()],
      ['ERR_LOG_ENTRY_ALTERED', (storage) => storage.tilesKept.set('0/0', new Uint8Array(32 * 4))],
      ['ERR_LOG_TILES_ALTERED', (storage) => storage.tilesKept.delete('0/0')],
      ['ERR_LOG_TILES_ALTERED', (storage) => storage.alterHead({ root: new Uint8Array(32) })],
    ]
    for (const [code, alter] of alterations) {
      const storage = createMemoryLogStorage()
      const log = createMemoryLog(storage, key)
      await log.append(entriesFrom(0, 4))
      alter(storage)
      await expect(log.checkpoint()).rejects.toThrow(LogStopped)
      expect((await storage.head()).stopped?.split(':')[0]).toBe(code)
      expect((await log.stopped())?.split(':')[0]).toBe(code)
      expect((await checkLog(storage, createMemoryMark())).faults).not.toEqual([])
    }
  })

  test('and takes entries again once an operator has resumed it', async () => {
    const storage = createMemoryLogStorage()
    const log = createMemoryLog(storage, key)
    await log.append(entriesFrom(0, 2))
    await storage.stop('looked at')
    await expect(log.append(entriesFrom(2, 1))).rejects.toThrow('looked at')
    expect((await checkLog(storage, createMemoryMark())).faults).toEqual([])
    await storage.resume()
    expect(await log.stopped()).toBeNull()
    expect(await log.append(entriesFrom(2, 1))).toEqual([2])
  })
})

describe('tiles', () => {
  test('are served in every width that the log has had, and not beyond it', async () => {
    const log = createMemoryLog(createMemoryLogStorage(), key)
    await log.append(entriesFrom(0, 260))
    const bundle = entriesOfBundle((await log.tile({ level: 'entries', index: 1, width: 4 })) ?? new Uint8Array())
    expect(bundle).toEqual(entriesFrom(256, 4))
    expect(await log.tile({ level: 0, index: 0, width: 77 })).toHaveLength(77 * 32)
    expect(await log.tile({ level: 0, index: 1, width: 5 })).toBeUndefined()
    expect(await log.tile({ level: 1, index: 0, width: 1 })).toHaveLength(32)
    expect(await log.tile({ level: 1, index: 0, width: 2 })).toBeUndefined()
    expect(await log.tile({ level: 'entries', index: 1, width: 5 })).toBeUndefined()
  })

  test('a bundle that ends within an entry is none', () => {
    expect(entriesOfBundle(Uint8Array.of(0, 2, 7))).toBeUndefined()
    expect(entriesOfBundle(Uint8Array.of(0))).toBeUndefined()
    expect(entriesOfBundle(Uint8Array.of(0, 1, 7, 0, 0))).toEqual([Uint8Array.of(7), new Uint8Array()])
  })
})

describe('a group', () => {
  test('holds what arrived while the one before was worked on, and fails as one', async () => {
    const groups: number[][] = []
    const work = createBatcher(3, async (items: readonly number[]) => {
      groups.push([...items])
      if (items.includes(9)) throw new Error('nine')
      return items.map((item) => item * 2)
    })
    expect(await Promise.all([1, 2, 3, 4, 5].map(work))).toEqual([2, 4, 6, 8, 10])
    expect(groups).toEqual([[1], [2, 3, 4], [5]])
    const settled = await Promise.allSettled([7, 8, 9].map(work))
    expect(settled.map(({ status }) => status)).toEqual(['fulfilled', 'rejected', 'rejected'])
  })
})
