/**
 * The drill of packages/service/docs/operations.md: the online key was copied, the root revokes it from an index of the log
 * on. Every summary that was logged before is still trusted; nothing that the thief signs ever is.
 */
import { beforeAll, describe, expect, test } from 'vitest'
import type { LogReceipt, SummaryPayload } from '../../packages/sdk/src/contract/index.ts'
import {
  importPublicKey,
  importSigningKey,
  readTrustList,
  type SigningKey,
  signCheckpoint,
  signSummary,
  signTrustList,
  summaryLogEntry,
  type Trust,
  type TrustList,
  verifierKeyText,
  verifySummary,
} from '../../packages/sdk/src/integrity/index.ts'
import type { MerkleLog } from '../../packages/service/src/ports.ts'
import { createKeyText } from '../../packages/service/src/signing/key-file.ts'
import { firstList, renewed, revoked, rotated } from '../../packages/service/src/signing/trust-changes.ts'
import { createMemoryLog, createMemoryLogStorage } from '../support/memory-log.ts'
import { payloadWith } from './support/summary-fixture.ts'

const ORIGIN = 'log.example.org'
const NOW = new Date('2026-04-01T00:00:00Z')
const LATER = '2026-04-02T00:00:00Z'
const ISSUER = payloadWith({}).issue.issuer

let root: SigningKey
let online: SigningKey
let next: SigningKey
let logKey: SigningKey
let log: MerkleLog
let list: TrustList

const freshKey = async () => {
  const key = await importSigningKey(JSON.parse(await createKeyText()))
  if (!key.ok) throw new Error(key.problem.detail)
  return key.value
}

const summaryNumber = (number: number, issuedAt = LATER): SummaryPayload =>
  payloadWith({ id: `01930000-0000-7000-8000-${String(number).padStart(12, '0')}`, issuedAt })

async function logged(jws: string, into = log): Promise<LogReceipt> {
  const [index = -1] = await into.append([await summaryLogEntry(jws)])
  return into.receipt(index)
}

async function trustOf(signed: TrustList): Promise<Trust> {
  const publicRoot = await importPublicKey(root.jwk)
  if (!publicRoot.ok) throw new Error(publicRoot.problem.detail)
  const read = await readTrustList(await signTrustList(signed, root), { root: publicRoot.value, now: LATER })
  if (!read.ok) throw new Error(read.problem.detail)
  return read.value.trust
}

beforeAll(async () => {
  ;[root, online, next, logKey] = (await Promise.all([freshKey(), freshKey(), freshKey(), freshKey()])) as [
    SigningKey,
    SigningKey,
    SigningKey,
    SigningKey,
  ]
  log = createMemoryLog(createMemoryLogStorage(ORIGIN), logKey)
  list = firstList({ jwk: online.jwk, issuer: ISSUER, logs: [await verifierKeyText(ORIGIN, logKey)] }, NOW)
})

describe('a stolen online key', () => {
  test('signs nothing that is trusted once it is revoked, and takes nothing from what was logged before', async () => {
    const honest = await Promise.all(Array.from({ length: 20 }, (_, at) => signSummary(summaryNumber(at), online)))
    const receipts: LogReceipt[] = []
    for (const jws of honest) receipts.push(await logged(jws))
    const drilled = revoked(
      rotated(list, { jwk: next.jwk, issuer: ISSUER, overlap_hours: 0 }, new Date(LATER)),
      { kid: online.kid, fromIndex: 20 },
      new Date(LATER),
    )
    const trust = await trustOf(drilled)

    for (const [at, jws] of honest.entries()) {
      const report = await verifySummary(jws, { trust, log: receipts[at] })
      expect(report).toMatchObject({ verdict: 'verified', logged: { status: 'proven', index: at } })
    }

    const forged = await Promise.all(
      Array.from({ length: 20 }, (_, at) => signSummary(summaryNumber(100 + at, '2026-04-01T12:00:00Z'), online)),
    )
    const own = createMemoryLog(createMemoryLogStorage(ORIGIN), online)
    const thieves = createMemoryLog(createMemoryLogStorage('log.thief.example'), online)
    const codes = new Set<string | undefined>()
    for (const [at, jws] of forged.entries()) {
      const [first] = receipts
      const attempts: unknown[] = [
        undefined, // not logged at all
        receipts[at], // under the place of an honest one
        { ...first, index: at }, // under a bent place
        await logged(jws, own), // in a log of its own under the name of ours, signed with the stolen key
        await logged(jws, thieves), // in a log of another name
        await logged(jws), // let in by the service after the theft: index 20 or above
        {
          index: 0,
          proof: [],
          checkpoint: await signCheckpoint({ origin: ORIGIN, size: 1, root: new Uint8Array(32) }, online),
        },
      ]
      for (const attempt of attempts) {
        const report = await verifySummary(jws, { trust, ...(attempt === undefined ? {} : { log: attempt }) })
        expect(report.verdict).toBe('refused')
        expect(report.payload).toBeNull()
        codes.add(report.failure?.code)
      }
    }
    expect([...codes]).toEqual(['ERR_KEY_REVOKED'])
  })

  test('does not touch what the key that took over signs', async () => {
    const at = new Date('2026-04-03T00:00:00Z')
    const trust = await trustOf(
      revoked(
        rotated(list, { jwk: next.jwk, issuer: ISSUER, overlap_hours: 0 }, at),
        { kid: online.kid, fromIndex: 0 },
        at,
      ),
    )
    const jws = await signSummary(summaryNumber(200, '2026-04-04T00:00:00Z'), next)
    expect(await verifySummary(jws, { trust, log: await logged(jws) })).toMatchObject({ verdict: 'verified' })
  })
})

describe('a rotation', () => {
  test('keeps earlier summaries trusted, and ends the time of the old key after the overlap', async () => {
    const trust = await trustOf(
      rotated(list, { jwk: next.jwk, issuer: ISSUER, overlap_hours: 24 }, new Date('2026-04-05T00:00:00Z')),
    )
    const verdict = async (issuedAt: string, key: SigningKey) =>
      (await verifySummary(await signSummary(summaryNumber(1, issuedAt), key), { trust })).failure?.code ?? 'verified'
    expect(await verdict('2026-04-02T00:00:00Z', online)).toBe('verified')
    expect(await verdict('2026-04-06T00:00:00Z', online)).toBe('verified')
    expect(await verdict('2026-04-06T00:00:00.001Z', online)).toBe('ERR_KEY_OUTSIDE_WINDOW')
    expect(await verdict('2026-04-04T23:59:59Z', next)).toBe('ERR_KEY_OUTSIDE_WINDOW')
    expect(await verdict('2026-04-05T00:00:00Z', next)).toBe('verified')
  })
})

describe('a trust list is refused', () => {
  const codeWith = async (jws: unknown, reader: { now?: string; seen?: { version: number; digest: string } } = {}) => {
    const publicRoot = await importPublicKey(root.jwk)
    if (!publicRoot.ok) throw new Error(publicRoot.problem.detail)
    const read = await readTrustList(jws, { root: publicRoot.value, now: LATER, ...reader })
    return read.ok ? read.value.seen : read.problem.code
  }

  test('when another key than the root signed it, also an online one', async () => {
    expect(await codeWith(await signTrustList(list, online))).toBe('ERR_TRUST_LIST_SIGNATURE')
    expect(await codeWith('no list')).toBe('ERR_TRUST_LIST_SIGNATURE')
    expect(await codeWith(await signSummary(payloadWith({}), root))).toBe('ERR_TRUST_LIST_SIGNATURE')
  })

  test('when it has expired, one step past its end', async () => {
    const jws = await signTrustList(list, root)
    expect(await codeWith(jws, { now: '2027-04-01T00:00:00Z' })).toMatchObject({ version: 1 })
    expect(await codeWith(jws, { now: '2027-04-01T00:00:00.001Z' })).toBe('ERR_TRUST_LIST_EXPIRED')
  })

  test('when a newer one was seen, or another of its version', async () => {
    const second = renewed(list, NOW)
    const seen = await codeWith(await signTrustList(second, root))
    if (typeof seen === 'string') throw new Error(seen)
    expect(await codeWith(await signTrustList(list, root), { seen })).toBe('ERR_TRUST_LIST_OLDER')
    expect(await codeWith(await signTrustList(second, root), { seen })).toEqual(seen)
    const other = revoked(list, { kid: online.kid, fromIndex: 3 }, NOW)
    expect(await codeWith(await signTrustList(other, root), { seen })).toBe('ERR_TRUST_LIST_OTHER')
  })

  test.each([{ version: 0 }, { version: 1.5 }, { expiresAt: 'soon' }, { issuedAt: '' }])('with %j', async (change) => {
    expect(await codeWith(await signTrustList({ ...list, ...change } as TrustList, root))).toBe('ERR_TRUST_LIST_FORM')
  })

  test('with a log key that is none', async () => {
    expect(await codeWith(await signTrustList({ ...list, logs: ['x'] }, root))).toBe('ERR_NOTE_KEY_FORM')
  })
})

test('an index that was set before is only ever lowered, and a key that is not named is refused', () => {
  const once = revoked(list, { kid: online.kid, fromIndex: 5 }, NOW)
  expect(revoked(once, { kid: online.kid, fromIndex: 9 }, NOW).keys[0]?.notTrustedFromIndex).toBe(5)
  expect(revoked(once, { kid: online.kid, fromIndex: 2 }, NOW).keys[0]?.notTrustedFromIndex).toBe(2)
  expect(() => revoked(list, { kid: 'nobody', fromIndex: 5 }, NOW)).toThrow(RangeError)
})
