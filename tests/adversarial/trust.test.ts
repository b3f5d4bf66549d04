import { describe, expect, test } from 'vitest'
import { instantKey } from '../../packages/sdk/src/integrity/instant.ts'
import { keyStatus, readTrust } from '../../packages/sdk/src/integrity/trust.ts'
import { knownPrivateJwk, otherPrivateJwk, trustInKnownKey } from './support/summary-fixture.ts'

const { kty, crv, x } = knownPrivateJwk
const jwk = { kty, crv, x }
const KID = 'kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k'
const key = { jwk, issuer: 'bench.example', notBefore: '2026-01-01T00:00:00Z' }

function at(time: string): string {
  const instant = instantKey(time)
  if (instant === undefined) throw new Error(`${time} is no time`)
  return instant
}

describe('a trust bundle', () => {
  const rows: Readonly<Record<string, readonly [bundle: unknown, code: string, pointer: string]>> = {
    'no object': ['keys', 'ERR_TRUST_FORM', ''],
    'no list of keys': [{ keys: { [KID]: key } }, 'ERR_TRUST_FORM', ''],
    'a bare key': [{ keys: [null] }, 'ERR_TRUST_FORM', '/keys/0'],
    'an issuer that is no text': [{ keys: [{ ...key, issuer: 7 }] }, 'ERR_TRUST_FORM', '/keys/0/issuer'],
    'no issuer': [{ keys: [{ ...key, issuer: '' }] }, 'ERR_TRUST_FORM', '/keys/0/issuer'],
    'no beginning': [{ keys: [{ ...key, notBefore: undefined }] }, 'ERR_TRUST_WINDOW', '/keys/0/notBefore'],
    'a time with an offset': [
      { keys: [{ ...key, notBefore: '2026-01-01T00:00:00+01:00' }] },
      'ERR_TRUST_WINDOW',
      '/keys/0/notBefore',
    ],
    'a span that ends before it begins': [
      { keys: [{ ...key, notAfter: '2025-12-31T23:59:59Z' }] },
      'ERR_TRUST_WINDOW',
      '/keys/0/notAfter',
    ],
    'an open end written as null': [{ keys: [{ ...key, notAfter: null }] }, 'ERR_TRUST_WINDOW', '/keys/0/notAfter'],
    'a negative log index': [
      { keys: [{ ...key, notTrustedFromIndex: -1 }] },
      'ERR_TRUST_FORM',
      '/keys/0/notTrustedFromIndex',
    ],
    'a private key': [{ keys: [{ ...key, jwk: knownPrivateJwk }] }, 'ERR_KEY_PRIVATE_PART', '/keys/0/jwk/d'],
    'one key for two issuers': [
      { keys: [key, { ...key, issuer: 'other.example' }] },
      'ERR_TRUST_DUPLICATE_KEY',
      '/keys/1/jwk',
    ],
  }
  for (const [says, [bundle, code, pointer]] of Object.entries(rows)) {
    test(`with ${says} is refused: ${code}`, async () => {
      expect(await readTrust(bundle)).toMatchObject({ ok: false, problem: { code, pointer } })
    })
  }

  test('may hold members of a later version, and no keys at all', async () => {
    expect(await readTrust({ keys: [{ ...key, later: 1 }], version: 7 })).toMatchObject({ ok: true })
    expect(await readTrust({ keys: [] })).toMatchObject({ ok: true })
  })
})

describe('what trust says of a key at the time of signing', () => {
  const signing = { kid: KID, issuer: 'bench.example', issuedAt: at('2026-06-01T00:00:00Z'), logIndex: null }

  test('trusted, unknown, or trusted for somebody else', async () => {
    const trust = await trustInKnownKey()
    expect(keyStatus(trust, signing)).toBe('trusted')
    expect(keyStatus(trust, { ...signing, kid: otherPrivateJwk.x })).toBe('unknown')
    expect(keyStatus(trust, { ...signing, issuer: 'Bench.example' })).toBe('other-issuer')
  })

  test('the span holds at both ends and not one instant beyond', async () => {
    const trust = await trustInKnownKey({ notBefore: '2026-01-01T00:00:00Z', notAfter: '2026-12-31T23:59:59.5Z' })
    const times = {
      '2025-12-31T23:59:59.999999999Z': 'outside-window',
      '2026-01-01T00:00:00Z': 'trusted',
      '2026-12-31T23:59:59.500Z': 'trusted',
      '2026-12-31T23:59:59.500000001Z': 'outside-window',
      '2027-01-01T00:00:00Z': 'outside-window',
    }
    for (const [time, status] of Object.entries(times)) {
      expect(keyStatus(trust, { ...signing, issuedAt: at(time) })).toBe(status)
    }
  })

  test('an open span has no end', async () => {
    const open = await readTrust({ keys: [key] })
    if (!open.ok) throw new Error(open.problem.code)
    expect(keyStatus(open.value, { ...signing, issuedAt: at('9999-12-31T23:59:59Z') })).toBe('trusted')
  })

  test('a revoked key holds only for entries that are shown to be older', async () => {
    const trust = await trustInKnownKey({ notTrustedFromIndex: 100 })
    expect(keyStatus(trust, signing)).toBe('revoked')
    expect(keyStatus(trust, { ...signing, logIndex: 99 })).toBe('trusted')
    expect(keyStatus(trust, { ...signing, logIndex: 100 })).toBe('revoked')
  })
})

describe('a time that compares like text', () => {
  test('is written out to the nanosecond', () => {
    expect(instantKey('2026-03-01T09:30:00Z')).toBe('2026-03-01T09:30:00.000000000')
    expect(instantKey('2026-03-01T09:30:00.25Z')).toBe('2026-03-01T09:30:00.250000000')
  })

  test('is undefined for anything but RFC 3339 in UTC', () => {
    const none = [
      '2026-03-01',
      '2026-03-01T09:30:00',
      '2026-03-01T09:30:00+00:00',
      '2026-13-01T09:30:00Z',
      '2026-03-00T09:30:00Z',
      '2026-03-01T24:00:00Z',
      '2026-03-01T09:60:00Z',
      '2026-03-01T09:30:60Z',
      '2026-03-01t09:30:00z',
      ' 2026-03-01T09:30:00Z',
      '2026-03-01T09:30:00.Z',
      '2026-03-01T09:30:00.0000000001Z',
      '',
      null,
      1,
      undefined,
    ]
    for (const text of none) expect(instantKey(text)).toBeUndefined()
  })
})
