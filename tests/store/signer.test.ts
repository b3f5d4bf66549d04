/** The signing key: made once, closed to others, and the same at every later start. */
import { createPublicKey, verify } from 'node:crypto'
import { chmod, mkdtemp, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { SummaryPayload } from '@fairpull/sdk/contract'
import { calculateJwkThumbprint, exportJWK, generateKeyPair } from 'jose'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { openSigner } from '../../packages/service/src/signing/signer.ts'
import { readOrCreateSecret } from '../../packages/service/src/store/secret-file.ts'

let parent: string
let folder: string
let file: string

beforeEach(async () => {
  parent = await mkdtemp(join(tmpdir(), 'fairpull-keys-'))
  folder = join(parent, 'data', 'keys')
  file = join(folder, 'signing-key.json')
})

afterEach(() => rm(parent, { recursive: true, force: true }))

/** The members that signing looks at; the assessment itself is none of its business. */
const payload = {
  issue: {
    id: '01930000-0000-7000-8000-000000000001',
    issuer: 'Prüfstand Süd',
    submitter: 'Ridgeline Parts',
    issuedAt: '2026-03-01T10:00:00Z',
    supersedes: null,
    registration: 'none',
    receipts: [],
  },
  result: {
    method: '0.1.0',
    protocol: { id: 'motorcycle-rollers@1', digest: `sha256:${'0'.repeat(64)}` },
    inputs: { comparison: `sha256:${'1'.repeat(64)}`, runs: [] },
    standing: 'invalid',
    scope: [],
    limits: [],
  },
} as unknown as SummaryPayload

const modeOf = async (path: string) => ((await stat(path)).mode & 0o777).toString(8)

describe('the signing key', () => {
  test('is made at first start, closed to others, and nothing else is left beside it', async () => {
    await openSigner(folder)
    expect(await modeOf(folder)).toBe('700')
    expect(await modeOf(file)).toBe('600')
    expect(await readdir(folder)).toEqual(['signing-key.json'])
  })

  test('is the same at every later start', async () => {
    const first = await openSigner(folder)
    const again = await openSigner(folder)
    expect(again.keyId).toBe(first.keyId)
    expect(again.publicKeys()).toEqual(first.publicKeys())
  })

  test('is one key when several starts make it at once', async () => {
    const signers = await Promise.all(Array.from({ length: 8 }, () => openSigner(folder)))
    expect(new Set(signers.map(({ keyId }) => keyId)).size).toBe(1)
    expect(await readdir(folder)).toEqual(['signing-key.json'])
  })

  test('has its RFC 7638 thumbprint as kid, and no private part in public', async () => {
    const { keyId, publicKeys } = await openSigner(folder)
    const { d: _private, ...held } = JSON.parse(await readFile(file, 'utf8'))
    expect(keyId).toBe(await calculateJwkThumbprint(held, 'sha256'))
    expect(publicKeys()).toEqual({
      keys: [{ kty: 'OKP', crv: 'Ed25519', x: held.x, kid: keyId, use: 'sig', alg: 'Ed25519' }],
    })
  })

  test.each([0o640, 0o604, 0o644, 0o660])('is refused when others can read it (mode %i)', async (mode) => {
    await openSigner(folder)
    await chmod(file, mode)
    await expect(openSigner(folder)).rejects.toThrow(
      `${file} holds a secret and can be read by others: run chmod 600 on it, and make a new one if anybody may have read it.`,
    )
  })

  test.each([
    ['no JSON', 'not a key'],
    ['cut off', '{"kty":"OKP","crv":"Ed25519"'],
    ['empty', ''],
    ['public only', '{"kty":"OKP","crv":"Ed25519","x":"11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo"}'],
  ])('is refused when the file is %s, and the file is left as it is', async (_what, text) => {
    await openSigner(folder)
    await writeFile(file, text)
    await expect(openSigner(folder)).rejects.toMatchObject({ obstacles: [{ code: 'ERR_KEY_FILE_DAMAGED' }] })
    expect(await readFile(file, 'utf8')).toBe(text)
  })

  test('is refused when its halves are of two keys, without repeating any of it', async () => {
    await openSigner(folder)
    const held = JSON.parse(await readFile(file, 'utf8'))
    const { privateKey } = await generateKeyPair('Ed25519', { extractable: true })
    const other = await exportJWK(privateKey)
    await writeFile(file, JSON.stringify({ ...held, x: other.x }))
    const refusal = await openSigner(folder).catch((error: Error) => error)
    expect(String(refusal)).toContain('ERR_KEY_MISMATCH')
    expect(String(refusal)).not.toContain(held.d)
  })

  test('whose folder cannot be made is named in a sentence', async () => {
    await writeFile(join(parent, 'data'), '')
    await expect(openSigner(folder)).rejects.toThrow(/^The folder .*keys cannot be written to \(ENOTDIR\)/)
  })
})

describe('a signature', () => {
  test('is over exactly the bytes that are kept, as node verifies without this code', async () => {
    const signer = await openSigner(folder)
    const signed = await signer.sign(payload)
    const [header = '', body = '', signature = ''] = signed.jws.split('.')
    expect(JSON.parse(Buffer.from(header, 'base64url').toString())).toEqual({
      alg: 'Ed25519',
      typ: 'fairpull-summary+jws',
      kid: signer.keyId,
    })
    expect(Buffer.from(body, 'base64url')).toEqual(Buffer.from(signed.payload))
    expect(JSON.parse(Buffer.from(signed.payload).toString())).toEqual(payload)
    const [jwk] = signer.publicKeys().keys
    const key = createPublicKey({ format: 'jwk', key: { ...jwk } })
    expect(verify(null, Buffer.from(`${header}.${body}`), key, Buffer.from(signature, 'base64url'))).toBe(true)
  })

  test('is the same for the same payload: Ed25519 draws no random numbers', async () => {
    const signer = await openSigner(folder)
    expect(await signer.sign(payload)).toEqual(await signer.sign(structuredClone(payload)))
  })
})

describe('a secret file', () => {
  test('that is there is never replaced', async () => {
    const path = join(parent, 'secret')
    await readOrCreateSecret(path, () => 'first')
    expect(await readOrCreateSecret(path, () => 'second')).toBe('first')
  })

  test('is that of whoever is done first, also for those who were making another meanwhile', async () => {
    const path = join(parent, 'secret')
    const slow = readOrCreateSecret(path, async () => {
      expect(await readOrCreateSecret(path, () => 'quick')).toBe('quick')
      return 'slow'
    })
    expect(await slow).toBe('quick')
    expect(await readFile(path, 'utf8')).toBe('quick')
  })

  test('is not there when its making fails, and nothing is left over', async () => {
    const path = join(parent, 'secret')
    const failing = () => Promise.reject(new Error('no randomness'))
    await expect(readOrCreateSecret(path, failing)).rejects.toThrow('no randomness')
    expect(await readdir(parent)).toEqual([])
  })
})
