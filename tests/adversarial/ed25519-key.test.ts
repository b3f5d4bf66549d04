import { describe, expect, test } from 'vitest'
import {
  importPublicKey,
  importSigningKey,
  signBytes,
  verifyBytes,
} from '../../packages/sdk/src/integrity/ed25519-key.ts'
import { readKeySet } from '../../packages/sdk/src/integrity/key-set.ts'
import { acceptedValue, base64url, codeOf, fromText } from './support/bytes.ts'
import { knownPrivateJwk, otherPrivateJwk } from './support/summary-fixture.ts'

const { kty, crv, x, d } = knownPrivateJwk
const known = { kty, crv, x }
const KID = 'kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k'

/** RFC 8032 §5.1: edwards25519, -x² + y² = 1 + d x² y² over p = 2^255 - 19. */
const p = 2n ** 255n - 19n
const modulo = (value: bigint) => ((value % p) + p) % p
const power = (base: bigint, exponent: bigint): bigint =>
  exponent === 0n ? 1n : modulo(power(modulo(base * base), exponent / 2n) * (exponent % 2n === 1n ? base : 1n))
const inverse = (value: bigint) => power(value, p - 2n)
const curve_d = modulo(-121665n * inverse(121666n))

interface Affine {
  readonly x: bigint
  readonly y: bigint
}

function add(one: Affine, other: Affine): Affine {
  const product = modulo(curve_d * one.x * other.x * one.y * other.y)
  return {
    x: modulo((one.x * other.y + one.y * other.x) * inverse(1n + product)),
    y: modulo((one.y * other.y + one.x * other.x) * inverse(modulo(1n - product))),
  }
}

/** A point with this y, if there is one on the curve. */
function pointAt(y: bigint): Affine | undefined {
  const square = modulo((y * y - 1n) * inverse(curve_d * y * y + 1n))
  const candidate = power(square, (p + 3n) / 8n)
  const roots = [candidate, modulo(candidate * power(2n, (p - 1n) / 4n))]
  const root = roots.find((each) => modulo(each * each) === square)
  return root === undefined ? undefined : { x: root, y }
}

/** The eight points whose order divides 8: multiples of one of order 8, found as L times some point. */
function smallOrderPoints(): readonly Affine[] {
  const order = 2n ** 252n + 27742317777372353535851937790883648493n
  const neutral = { x: 0n, y: 1n }
  const times = (point: Affine, factor: bigint): Affine =>
    factor === 0n ? neutral : add(times(add(point, point), factor / 2n), factor % 2n === 1n ? point : neutral)
  for (let y = 2n; ; y += 1n) {
    const point = pointAt(y)
    if (point === undefined) continue
    const torsion = times(point, order)
    const multiples = Array.from({ length: 8 }, (_, factor) => times(torsion, BigInt(factor)))
    if (new Set(multiples.map((each) => `${each.x} ${each.y}`)).size === 8) return multiples
  }
}

/** 32 bytes little-endian, the lowest bit of x on top. */
function encoded(y: bigint, sign: bigint): string {
  const bytes = Array.from({ length: 32 }, (_, at) => Number(((y | (sign << 255n)) >> BigInt(8 * at)) & 255n))
  return base64url(Uint8Array.from(bytes))
}

const codeOfX = async (encodedX: string) => codeOf(await importPublicKey({ kty, crv, x: encodedX }))

describe('keys that nobody may hold', () => {
  test('all eight points of small order, found by arithmetic, are refused with either sign', async () => {
    const points = smallOrderPoints()
    expect(points).toHaveLength(8)
    for (const { y } of points) {
      for (const sign of [0n, 1n]) expect(await codeOfX(encoded(y, sign))).toBe('ERR_KEY_SMALL_ORDER')
    }
  })

  test('all 19 ordinates at or above the field order are refused with either sign, and the one below is looked at', async () => {
    for (let y = p; y < 2n ** 255n; y += 1n) {
      for (const sign of [0n, 1n]) expect(await codeOfX(encoded(y, sign))).toBe('ERR_KEY_NON_CANONICAL')
    }
    expect(await codeOfX(encoded(p - 2n, 0n))).toBe('accepted')
  })
})

describe('the import of a public key', () => {
  const rows: Readonly<Record<string, readonly [jwk: unknown, code: string, pointer: string]>> = {
    'no object': ['x', 'ERR_KEY_FORM', ''],
    null: [null, 'ERR_KEY_FORM', ''],
    'a list': [[known], 'ERR_KEY_FORM', ''],
    'a private key': [knownPrivateJwk, 'ERR_KEY_PRIVATE_PART', '/d'],
    'an empty private part': [{ ...known, d: undefined }, 'ERR_KEY_PRIVATE_PART', '/d'],
    'another type': [{ ...known, kty: 'EC' }, 'ERR_KEY_TYPE', '/kty'],
    'another curve': [{ ...known, crv: 'X25519' }, 'ERR_KEY_TYPE', '/kty'],
    'no x': [{ kty, crv }, 'ERR_KEY_FORM', '/x'],
    'x with padding': [{ ...known, x: `${x}=` }, 'ERR_KEY_FORM', '/x'],
    'x with stray bits': [{ ...known, x: `${x.slice(0, -1)}p` }, 'ERR_KEY_FORM', '/x'],
    'x of 31 bytes': [{ ...known, x: base64url(new Uint8Array(31).fill(9)) }, 'ERR_KEY_LENGTH', '/x'],
    'x of 33 bytes': [{ ...known, x: base64url(new Uint8Array(33).fill(9)) }, 'ERR_KEY_LENGTH', '/x'],
    'the empty x': [{ ...known, x: '' }, 'ERR_KEY_LENGTH', '/x'],
    'a key for encryption': [{ ...known, use: 'enc' }, 'ERR_KEY_USE', '/use'],
    'another algorithm': [{ ...known, alg: 'EdDSA' }, 'ERR_KEY_USE', '/alg'],
    'operations without verify': [{ ...known, key_ops: ['sign'] }, 'ERR_KEY_USE', '/key_ops'],
    'operations that are no list': [{ ...known, key_ops: 'verify' }, 'ERR_KEY_USE', '/key_ops'],
    'a kid of somebody else': [{ ...known, kid: 'mine' }, 'ERR_KEY_ID', '/kid'],
  }
  for (const [says, [jwk, code, pointer]] of Object.entries(rows)) {
    test(`${says} is refused: ${code}`, async () => {
      expect(await importPublicKey(jwk)).toMatchObject({ ok: false, problem: { code, pointer } })
    })
  }

  test('gives the thumbprint, and a key that may be published again', async () => {
    const key = acceptedValue(
      await importPublicKey({ ...known, kid: KID, use: 'sig', key_ops: ['verify'], note: 'kept out' }),
    )
    expect(key.kid).toBe(KID)
    expect(key.jwk).toEqual({ kty, crv, x, kid: KID, use: 'sig', alg: 'Ed25519' })
    expect(acceptedValue(await importPublicKey(key.jwk)).kid).toBe(KID)
  })

  test('a key that is no point of the curve verifies nothing', async () => {
    const off = Array.from({ length: 50 }, (_, at) => BigInt(at) + 2n).find((y) => pointAt(y) === undefined) ?? 0n
    const key = acceptedValue(await importPublicKey({ kty, crv, x: encoded(off, 0n) }))
    expect(await verifyBytes(key, new Uint8Array(64), fromText('m'))).toBe(false)
  })
})

describe('the import of a private key', () => {
  const rows: Readonly<Record<string, readonly [jwk: unknown, code: string]>> = {
    'no object': [7, 'ERR_KEY_FORM'],
    'a public key': [known, 'ERR_KEY_NO_PRIVATE_PART'],
    'a private part of 31 bytes': [{ ...known, d: base64url(new Uint8Array(31)) }, 'ERR_KEY_LENGTH'],
    'a private part with padding': [{ ...known, d: `${d}=` }, 'ERR_KEY_LENGTH'],
    'the public part of somebody else': [{ ...known, d: otherPrivateJwk.d }, 'ERR_KEY_MISMATCH'],
    'a public part of small order': [{ ...known, d, x: encoded(1n, 0n) }, 'ERR_KEY_SMALL_ORDER'],
    'operations without sign': [{ ...knownPrivateJwk, key_ops: ['verify'] }, 'ERR_KEY_USE'],
  }
  for (const [says, [jwk, code]] of Object.entries(rows)) {
    test(`${says} is refused: ${code}`, async () => expect(codeOf(await importSigningKey(jwk))).toBe(code))
  }

  test('gives a key that cannot be taken out again, and no private part beside it', async () => {
    const key = acceptedValue(await importSigningKey(knownPrivateJwk))
    expect(key.cryptoKey.extractable).toBe(false)
    expect(JSON.stringify(key)).not.toContain(d)
    expect(key.kid).toBe(KID)
  })

  test('the same bytes always get the same signature', async () => {
    const key = acceptedValue(await importSigningKey(knownPrivateJwk))
    expect(await signBytes(key, fromText('m'))).toEqual(await signBytes(key, fromText('m')))
  })
})

describe('a key set', () => {
  test('of several keys is taken whole', async () => {
    const { d: _secret, ...other } = otherPrivateJwk
    const keys = acceptedValue(await readKeySet({ keys: [known, other] }))
    expect(keys.map((key) => key.jwk.x)).toEqual([x, other.x])
  })

  test('is refused for one bad key, a doubled key or no list', async () => {
    expect(await readKeySet({ keys: [known, { ...known, kty: 'RSA' }] })).toMatchObject({
      problem: { code: 'ERR_KEY_TYPE', pointer: '/keys/1/kty' },
    })
    expect(codeOf(await readKeySet({ keys: [known, known] }))).toBe('ERR_KEY_SET_DUPLICATE_KEY')
    expect(codeOf(await readKeySet([known]))).toBe('ERR_KEY_SET_FORM')
    expect(codeOf(await readKeySet(null))).toBe('ERR_KEY_SET_FORM')
  })
})
