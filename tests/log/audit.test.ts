/** The whole log over HTTP, from nothing: a sound one passes, and every alteration of what is served is found. */
import { beforeAll, describe, expect, test } from 'vitest'
import { auditLog } from '../../packages/sdk/src/client/audit-log.ts'
import {
  importSigningKey,
  type NoteVerifier,
  readTilePath,
  readVerifierKey,
  type SigningKey,
  verifierKeyText,
} from '../../packages/sdk/src/integrity/index.ts'
import type { MerkleLog } from '../../packages/service/src/ports.ts'
import { createKeyText } from '../../packages/service/src/signing/key-file.ts'
import { createMemoryLog, createMemoryLogStorage } from '../support/memory-log.ts'

const ORIGIN = 'log.example.org'
const encoder = new TextEncoder()
let key: SigningKey
let log: MerkleLog
let verifier: NoteVerifier

beforeAll(async () => {
  const imported = await importSigningKey(JSON.parse(await createKeyText()))
  if (!imported.ok) throw new Error(imported.problem.detail)
  key = imported.value
  const read = await readVerifierKey(await verifierKeyText(ORIGIN, key))
  if (!read.ok) throw new Error(read.problem.detail)
  verifier = read.value
  log = createMemoryLog(createMemoryLogStorage(ORIGIN), key)
  await log.append(Array.from({ length: 700 }, (_, at) => encoder.encode(`entry ${at}`)))
})

/** Serves the log, with one path answered otherwise. */
function serving(of: MerkleLog, path?: string, alter: (bytes: Uint8Array) => Uint8Array | undefined = (all) => all) {
  return (async (address: string) => {
    const asked = address.slice('https://x/log/'.length)
    const tile = readTilePath(asked)
    const whole = asked === 'checkpoint' ? encoder.encode(await of.checkpoint()) : tile && (await of.tile(tile))
    const bytes = whole !== undefined && asked === path ? alter(new Uint8Array(whole)) : whole
    return bytes === undefined ? new Response(null, { status: 404 }) : new Response(new Uint8Array(bytes))
  }) as typeof fetch
}

const auditOf = (fetch: typeof globalThis.fetch, more = {}) =>
  auditLog({ logUrl: 'https://x/log', log: verifier, fetch, ...more })

const flipped = (bytes: Uint8Array) => {
  bytes[bytes.length - 1] = (bytes.at(-1) ?? 0) ^ 1
  return bytes
}

describe('an audit', () => {
  test('passes a sound log, and shows every entry in order', async () => {
    const seen: string[] = []
    const audit = await auditOf(serving(log), {
      onEntry: (entry: Uint8Array) => seen.push(new TextDecoder().decode(entry)),
    })
    expect(audit).toMatchObject({ ok: true, checkpoint: { size: 700, origin: ORIGIN } })
    expect(seen).toEqual(Array.from({ length: 700 }, (_, at) => `entry ${at}`))
  })

  test.each([
    ['checkpoint', flipped, 'ERR_AUDIT_CHECKPOINT'],
    ['checkpoint', () => undefined, 'ERR_AUDIT_FETCH'],
    ['tile/entries/001', flipped, 'ERR_AUDIT_ROOT'],
    ['tile/entries/002.p/188', (bytes: Uint8Array) => bytes.slice(0, -1), 'ERR_AUDIT_BUNDLE'],
    ['tile/entries/000', () => undefined, 'ERR_AUDIT_FETCH'],
    ['tile/0/001', flipped, 'ERR_AUDIT_TILE'],
    ['tile/0/002.p/188', flipped, 'ERR_AUDIT_TILE'],
    ['tile/1/000.p/2', flipped, 'ERR_AUDIT_TILE'],
    ['tile/0/000', (bytes: Uint8Array) => bytes.slice(32), 'ERR_AUDIT_TILE'],
  ] as const)('finds %s altered (%#)', async (path, alter, code) => {
    expect(await auditOf(serving(log, path, alter))).toMatchObject({ ok: false, code })
  })

  test('finds a log that has become smaller, or another one than was seen', async () => {
    const first = await auditOf(serving(log))
    if (!first.ok) throw new Error(first.detail)
    const other = createMemoryLog(createMemoryLogStorage(ORIGIN), key)
    await other.append([encoder.encode('another beginning')])
    expect(await auditOf(serving(other), { seen: first.checkpoint })).toMatchObject({ code: 'ERR_AUDIT_SMALLER' })
    await other.append(Array.from({ length: 800 }, (_, at) => encoder.encode(`other ${at}`)))
    expect(await auditOf(serving(other), { seen: first.checkpoint })).toMatchObject({ code: 'ERR_AUDIT_FORK' })
    expect(await auditOf(serving(other))).toMatchObject({ ok: true })
  })
})
