/** Cases for two verifiers: sound summaries, and one departure each from every rule that a summary can break. */
import type { Comparison, LogReceipt } from '../../../packages/sdk/src/contract/index.ts'
import {
  canonicalJson,
  importSigningKey,
  type PublicJwk,
  type SigningKey,
  signCheckpoint,
  signSummary,
  summaryLogEntry,
  type TrustBundle,
  verifierKeyText,
} from '../../../packages/sdk/src/integrity/index.ts'
import { createKeyText } from '../../../packages/service/src/signing/key-file.ts'
import { createMemoryLog, createMemoryLogStorage } from '../../support/memory-log.ts'
import { base64url, fromBase64url } from '../support/bytes.ts'
import { signedText, signedWith } from '../support/forge.ts'
import { knownSigningKey, otherSigningKey, payload, payloadWith } from '../support/summary-fixture.ts'
import { plannedCases } from './planned-cases.ts'

/** What a verifier is given. */
export interface VerificationCase {
  readonly kind: 'summary'
  readonly name: string
  readonly summary: unknown
  readonly trust: TrustBundle | null
  readonly keys: readonly PublicJwk[]
  readonly log?: unknown
  /** The log itself: its checkpoint, and its tiles in base64 by their paths. */
  readonly files?: { readonly checkpoint: string; readonly tiles: Readonly<Record<string, string>> }
  readonly comparison?: Comparison
}

const ORIGIN = 'log.example.org'
const ISSUER = payload.issue.issuer

/** Every case. */
export async function corpus(): Promise<readonly VerificationCase[]> {
  const key = await knownSigningKey()
  const sound = await signSummary(payload, key)
  const trust: TrustBundle = { keys: [{ jwk: key.jwk, issuer: ISSUER, notBefore: '2026-01-01T00:00:00Z' }] }
  const base = { kind: 'summary', summary: sound, trust, keys: [] } as const
  return [
    { name: 'sound', ...base },
    ...envelopes(sound).map(([name, summary]) => ({ name, ...base, summary })),
    ...(await headers(key)).map(([name, summary]) => ({ name, ...base, summary })),
    ...(await payloads(key)).map(([name, summary]) => ({ name, ...base, summary })),
    ...(await keysAndTrust(key, base)),
    ...(await logs(key, base)),
    ...(await plannedCases(key, base.trust)),
  ]
}

type Named = readonly [name: string, summary: unknown]

function envelopes(sound: string): readonly Named[] {
  const [header = '', body = '', signature = ''] = sound.split('.')
  const bent = fromBase64url(signature)
  bent[0] = (bent[0] ?? 0) ^ 1
  return [
    ['a number', 7],
    ['null', null],
    ['an empty text', ''],
    ['two parts', `${header}.${body}`],
    ['four parts', `${sound}.x`],
    ['an empty header', `.${body}.${signature}`],
    ['padding', `${header}=.${body}.${signature}`],
    ['a blank at the end', `${sound} `],
    ['a line feed at the end', `${sound}\n`],
    ['plain base64', `${header}.${body}.${signature.replaceAll(/[-_]/g, '+')}+`],
    [
      'an impossible length',
      `${header}.${body}A.${signature}`.replace(/A\./, 'AA.').replace(`${body}AA`, `${body}AAAAA`),
    ],
    ['a signature of 63 bytes', `${header}.${body}.${base64url(bent.slice(1))}`],
    ['a signature of no bytes', `${header}.${body}.`],
    ['a bit of the signature', `${header}.${body}.${base64url(bent)}`],
    ['a header that is no JSON', `${base64url('{')}.${body}.${signature}`],
    ['a header with two names', `${base64url('{"alg":"Ed25519","alg":"Ed25519"}')}.${body}.${signature}`],
    ['a header with two escaped names', `${base64url('{"alg":1,"\\u0061lg":2}')}.${body}.${signature}`],
    ['a header with a byte order mark', `${base64url('\ufeff{}')}.${body}.${signature}`],
    ['a header with __proto__', `${base64url('{"__proto__":1}')}.${body}.${signature}`],
    ['a header that is a list', `${base64url('[]')}.${body}.${signature}`],
  ]
}

async function headers(key: SigningKey): Promise<readonly Named[]> {
  const text = canonicalJson(payload)
  const changes: readonly Readonly<Record<string, unknown>>[] = [
    { b64: false },
    { crit: ['b64'] },
    { jku: 'https://x.example' },
    { jwk: key.jwk },
    { x5u: 'https://x.example' },
    { x5c: [] },
    { more: 1 },
    { b64: true, crit: ['b64'], jwk: key.jwk },
    { alg: 'none' },
    { alg: 'NONE' },
    { alg: 'HS256' },
    { alg: 'hs512' },
    { alg: 'ES256' },
    { alg: 'EdDSA' },
    { alg: 7 },
    { alg: undefined },
    { typ: 'JWT' },
    { typ: undefined },
    { typ: 'fairpull-receipt+jws' },
    { kid: 'short' },
    { kid: 7 },
    { kid: undefined },
  ]
  return Promise.all(
    changes.map(
      async (change): Promise<Named> => [
        `header ${JSON.stringify(change)} ${Object.keys(change)}`,
        await signedWith(change, text, key),
      ],
    ),
  )
}

async function payloads(key: SigningKey): Promise<readonly Named[]> {
  const text = canonicalJson(payload)
  const without = (pointer: string) => {
    const copy = structuredClone(payload) as unknown as Record<string, Record<string, unknown>>
    const [outer = '', inner = ''] = pointer.split('/')
    delete copy[outer]?.[inner]
    return canonicalJson(copy)
  }
  const texts: readonly (readonly [string, string | Uint8Array])[] = [
    ['no JSON', '{'],
    ['bad UTF-8', Uint8Array.of(0x22, 0xff, 0x22)],
    ['half a surrogate', '"\\ud800"'],
    ['NaN', '{"a":NaN}'],
    ['a negative zero', '{"a":-0}'],
    ['a number that becomes infinite', '{"a":1e400}'],
    ['a number that becomes 0', '{"a":1e-400}'],
    ['a number past 2^53', '{"a":9007199254740993}'],
    ['equal names', '{"a":1,"a":1}'],
    ['33 levels', `${'['.repeat(33)}${']'.repeat(33)}`],
    ['32 levels', `${'['.repeat(32)}${']'.repeat(32)}`],
    ['a blank', ` ${text}`],
    ['a blank inside', text.replace('{', '{ ')],
    ['a number written otherwise', text.replace('2.74163', '2.741630')],
    ['members in another order', text.replace('"issue":', '"zissue":')],
    ['an escape that is not needed', text.replace('bench.example', 'bench\\u002eexample')],
    ['a list', '[]'],
    ['null', 'null'],
    ...['issue/id', 'issue/issuer', 'issue/submitter', 'issue/issuedAt', 'issue/supersedes', 'issue/receipts'].map(
      (each) => [`without ${each}`, without(each)] as const,
    ),
    ...['result/method', 'result/protocol', 'result/inputs', 'result/standing', 'result/scope', 'result/limits'].map(
      (each) => [`without ${each}`, without(each)] as const,
    ),
    ['a time without Z', canonicalJson(payloadWith({ issuedAt: '2026-03-01T09:30:00+00:00' }))],
    ['a time with ten digits', canonicalJson(payloadWith({ issuedAt: '2026-03-01T09:30:00.0123456789Z' }))],
    ['receipts without a plan', canonicalJson(payloadWith({ receipts: ['x'] }))],
    ['a plan without receipts', canonicalJson(payloadWith({ registration: 'amended' }))],
    ['a plan with receipts', canonicalJson(payloadWith({ registration: 'pre-registered', receipts: ['x'] }))],
  ]
  return Promise.all(
    texts.map(async ([name, each]): Promise<Named> => [`payload: ${name}`, await signedText(headerOf(key), each, key)]),
  )
}

function headerOf({ kid }: SigningKey): string {
  return JSON.stringify({ alg: 'Ed25519', kid, typ: 'fairpull-summary+jws' })
}

type Base = Omit<VerificationCase, 'name'>

async function keysAndTrust(key: SigningKey, base: Base): Promise<readonly VerificationCase[]> {
  const other = await otherSigningKey()
  const entry = { jwk: key.jwk, issuer: ISSUER, notBefore: '2026-01-01T00:00:00Z' }
  const trusting = (name: string, change: object): VerificationCase => ({
    name,
    ...base,
    trust: { keys: [{ ...entry, ...change }] },
  })
  return [
    { name: 'no key at all', ...base, trust: null },
    { name: 'a key set only', ...base, trust: null, keys: [key.jwk] },
    { name: 'another key set', ...base, trust: null, keys: [other.jwk] },
    {
      name: 'trust in another key, this one in the key set',
      ...base,
      trust: { keys: [{ ...entry, jwk: other.jwk }] },
      keys: [key.jwk],
    },
    trusting('another issuer', { issuer: 'other.example' }),
    trusting('an issuer in capitals', { issuer: ISSUER.toUpperCase() }),
    trusting('signed at the first moment', { notBefore: payload.issue.issuedAt }),
    trusting('signed before the first moment', { notBefore: '2026-03-01T09:30:00.000000001Z' }),
    trusting('signed at the last moment', { notAfter: payload.issue.issuedAt }),
    trusting('signed after the last moment', { notAfter: '2026-03-01T09:29:59.999999999Z' }),
    trusting('revoked, and not logged', { notTrustedFromIndex: 5 }),
    {
      name: 'signed by another key under this kid',
      ...base,
      summary: await signedWith({ kid: key.kid }, canonicalJson(payload), other),
    },
  ]
}

async function logs(key: SigningKey, base: Base): Promise<readonly VerificationCase[]> {
  const imported = await importSigningKey(JSON.parse(await createKeyText()))
  if (!imported.ok || base.trust === null) throw new Error('the corpus needs keys')
  const logKey = imported.value
  const log = createMemoryLog(createMemoryLogStorage(ORIGIN), logKey)
  const filler = Array.from({ length: 11 }, (_, at) => Uint8Array.of(at))
  await log.append([...filler.slice(0, 4), await summaryLogEntry(String(base.summary)), ...filler.slice(4)])
  const receipt = await log.receipt(4)
  const trust = { ...base.trust, logs: [await verifierKeyText(ORIGIN, logKey)] }
  const [entry] = base.trust.keys
  const given = (name: string, place: unknown, with_: Partial<Base> = {}): VerificationCase => ({
    name: `log: ${name}`,
    ...base,
    trust,
    ...with_,
    log: place,
  })
  const revokedFrom = (index: number) => ({
    trust: { ...trust, keys: entry === undefined ? [] : [{ ...entry, notTrustedFromIndex: index }] },
  })
  return [
    given('proven', receipt),
    given('no log is trusted', receipt, { trust: base.trust }),
    given('no trust at all', receipt, { trust: null, keys: [key.jwk] }),
    given('revoked above', receipt, revokedFrom(5)),
    given('revoked at', receipt, revokedFrom(4)),
    given('revoked above, log unknown', receipt, { trust: { keys: revokedFrom(5).trust.keys } }),
    given('revoked, and the proof is bent', { ...receipt, index: 3 }, revokedFrom(5)),
    given('null', null),
    given('a list', []),
    given('nothing in it', {}),
    given('an index in text', { ...receipt, index: '4' }),
    given('an index of a half', { ...receipt, index: 4.5 }),
    given('a negative index', { ...receipt, index: -1 }),
    given('another index', { ...receipt, index: 5 }),
    given('an index past the tree', { ...receipt, index: 12 }),
    given('a hash that is no base64', { ...receipt, proof: ['*'] }),
    given('a hash of 31 bytes', { ...receipt, proof: [Buffer.alloc(31).toString('base64')] }),
    given('a proof too short', { ...receipt, proof: receipt.proof.slice(1) }),
    given('a proof too long', { ...receipt, proof: [...receipt.proof, receipt.proof[0]] }),
    given('hashes in another order', { ...receipt, proof: [...receipt.proof].reverse() }),
    given('a checkpoint without a signature', { ...receipt, checkpoint: receipt.checkpoint.split('\n\n')[0] }),
    given('a checkpoint of another size', { ...receipt, checkpoint: receipt.checkpoint.replace('\n12\n', '\n13\n') }),
    given('a checkpoint of another size, log unknown', resized(receipt), { trust: base.trust }),
    given('a checkpoint with a leading zero', {
      ...receipt,
      checkpoint: receipt.checkpoint.replace('\n12\n', '\n012\n'),
    }),
    given('a checkpoint signed by the key of the summary', {
      ...receipt,
      checkpoint: await signCheckpoint({ origin: ORIGIN, size: 12, root: new Uint8Array(32) }, key),
    }),
    given('a checkpoint of an unknown log', {
      ...receipt,
      checkpoint: await signCheckpoint({ origin: 'other.example', size: 12, root: new Uint8Array(32) }, logKey),
    }),
  ]
}

function resized(receipt: LogReceipt): LogReceipt {
  return { ...receipt, checkpoint: receipt.checkpoint.replace('\n12\n', '\n40\n') }
}
