import { createHmac } from 'node:crypto'
import { Socket } from 'node:net'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { canonicalJson } from '../../packages/sdk/src/integrity/canonical-json.ts'
import type { SigningKey } from '../../packages/sdk/src/integrity/ed25519-key.ts'
import { signSummary } from '../../packages/sdk/src/integrity/sign-summary.ts'
import { verifySummary } from '../../packages/sdk/src/integrity/verify-summary.ts'
import { base64url, fromBase64url } from './support/bytes.ts'
import { signedText, signedWith } from './support/forge.ts'
import { knownPrivateJwk, knownSigningKey, payload, trustInKnownKey } from './support/summary-fixture.ts'

const text = canonicalJson(payload)
const { kty, crv, x } = knownPrivateJwk
const jwk = { kty, crv, x }

/** A summary of which only the header is wrong; wherever the algorithm allows it, the signature is genuine. */
const headers: Readonly<Record<string, readonly [forge: (key: SigningKey) => Promise<string>, code: string]>> = {
  'alg none with a signature': [(key) => signedWith({ alg: 'none' }, text, key), 'ERR_HEADER_ALG_NONE'],
  'alg nOnE': [(key) => signedWith({ alg: 'nOnE' }, text, key), 'ERR_HEADER_ALG_NONE'],
  'HS256 with the public key as secret': [hmacWithPublicKey, 'ERR_JWS_SIGNATURE_LENGTH'],
  'HS512 with the public key as secret': [hmac512WithPublicKey, 'ERR_HEADER_ALG_SYMMETRIC'],
  'HS256 with 64 bytes of signature': [(key) => signedWith({ alg: 'HS256' }, text, key), 'ERR_HEADER_ALG_SYMMETRIC'],
  ES256: [(key) => signedWith({ alg: 'ES256' }, text, key), 'ERR_HEADER_ALG_OTHER'],
  EdDSA: [(key) => signedWith({ alg: 'EdDSA' }, text, key), 'ERR_HEADER_ALG_OTHER'],
  'alg in small letters': [(key) => signedWith({ alg: 'ed25519' }, text, key), 'ERR_HEADER_ALG_OTHER'],
  'no alg': [(key) => signedWith({ alg: undefined }, text, key), 'ERR_HEADER_ALG_OTHER'],
  'alg in a list': [(key) => signedWith({ alg: ['Ed25519'] }, text, key), 'ERR_HEADER_ALG_OTHER'],
  'crit of an unknown extension': [(key) => signedWith({ crit: ['exp'], exp: 1 }, text, key), 'ERR_HEADER_CRIT'],
  'an empty crit': [(key) => signedWith({ crit: [] }, text, key), 'ERR_HEADER_CRIT'],
  'b64 false': [(key) => signedWith({ b64: false, crit: ['b64'] }, text, key), 'ERR_HEADER_B64'],
  'b64 true': [(key) => signedWith({ b64: true }, text, key), 'ERR_HEADER_B64'],
  jku: [(key) => signedWith({ jku: 'https://keys.example/jwks.json' }, text, key), 'ERR_HEADER_JKU'],
  x5u: [(key) => signedWith({ x5u: 'https://keys.example/cert.pem' }, text, key), 'ERR_HEADER_X5U'],
  x5c: [(key) => signedWith({ x5c: ['AAAA'] }, text, key), 'ERR_HEADER_X5C'],
  jwk: [(key) => signedWith({ jwk }, text, key), 'ERR_HEADER_JWK'],
  'an unknown member': [(key) => signedWith({ cty: 'json' }, text, key), 'ERR_HEADER_MEMBER'],
  'a header that is a list': [(key) => signedText('["alg"]', text, key), 'ERR_HEADER_MEMBER'],
  'a header that is null': [(key) => signedText('null', text, key), 'ERR_HEADER_MEMBER'],
  'a header that is a text': [(key) => signedText('"alg"', text, key), 'ERR_HEADER_MEMBER'],
  'another typ': [(key) => signedWith({ typ: 'JWT' }, text, key), 'ERR_HEADER_TYP'],
  'typ with the media type in full': [
    (key) => signedWith({ typ: 'application/fairpull-summary+jws' }, text, key),
    'ERR_HEADER_TYP',
  ],
  'no typ': [(key) => signedWith({ typ: undefined }, text, key), 'ERR_HEADER_TYP'],
  'a kid that is a path': [(key) => signedWith({ kid: '../../etc/passwd' }, text, key), 'ERR_HEADER_KID'],
  'a kid that is a number': [(key) => signedWith({ kid: 1 }, text, key), 'ERR_HEADER_KID'],
  'a kid with padding': [(key) => signedWith({ kid: `${key.kid}=` }, text, key), 'ERR_HEADER_KID'],
  'no kid': [(key) => signedWith({ kid: undefined }, text, key), 'ERR_HEADER_KID'],
  'the kid of no known key': [(key) => signedWith({ kid: 'A'.repeat(43) }, text, key), 'ERR_SIGNATURE_NO_KEY'],
  'alg twice': [
    (key) => signedText(`{"alg":"none","alg":"Ed25519","kid":"${key.kid}","typ":"fairpull-summary+jws"}`, text, key),
    'ERR_JWS_HEADER_DUPLICATE_NAME',
  ],
  'alg twice, once escaped': [
    (key) => signedText(`{"\\u0061lg":"none","alg":"Ed25519","kid":"${key.kid}"}`, text, key),
    'ERR_JWS_HEADER_DUPLICATE_NAME',
  ],
  'a header that is no JSON': [(key) => signedText('alg=Ed25519', text, key), 'ERR_JWS_HEADER_JSON'],
  'a header with __proto__': [(key) => signedText('{"__proto__":{"alg":"Ed25519"}}', text, key), 'ERR_JWS_HEADER_JSON'],
}

async function hmacWithPublicKey(key: SigningKey): Promise<string> {
  return hmac('HS256', 'sha256', key)
}

async function hmac512WithPublicKey(key: SigningKey): Promise<string> {
  return hmac('HS512', 'sha512', key)
}

function hmac(alg: string, hash: string, { kid }: SigningKey): string {
  const header = JSON.stringify({ alg, kid, typ: 'fairpull-summary+jws' })
  const input = `${base64url(header)}.${base64url(text)}`
  return `${input}.${createHmac(hash, fromBase64url(x)).update(input).digest('base64url')}`
}

describe('headers that no summary may have, under a genuine signature where there can be one', () => {
  const connect = vi.spyOn(Socket.prototype, 'connect')
  const fetched = vi.fn()
  beforeEach(() => {
    vi.stubGlobal('fetch', fetched)
  })
  afterEach(() => {
    vi.unstubAllGlobals()
  })

  for (const [says, [forge, code]] of Object.entries(headers)) {
    test(`${says}: ${code}, and nothing is fetched`, async () => {
      const report = await verifySummary(await forge(await knownSigningKey()), { trust: await trustInKnownKey() })
      expect(report.failure?.code).toBe(code)
      expect(report.verdict).toBe('refused')
      expect(report.payload).toBeNull()
      expect(fetched).not.toHaveBeenCalled()
      expect(connect).not.toHaveBeenCalled()
    })
  }

  test('the same payload with the right header verifies', async () => {
    const key = await knownSigningKey()
    const report = await verifySummary(await signedWith({}, text, key), { trust: await trustInKnownKey() })
    expect(report.verdict).toBe('verified')
    expect(await signedWith({}, text, key)).toBe(await signSummary(payload, key))
  })

  test('each of the named attacks has a code of its own', () => {
    const named = [
      'alg none with a signature',
      'HS512 with the public key as secret',
      'ES256',
      'b64 false',
      'jku',
      'x5u',
      'jwk',
      'crit of an unknown extension',
      'a kid that is a path',
      'alg twice',
      'another typ',
    ]
    const codes = named.map((says) => headers[says]?.[1])
    expect(new Set(codes).size).toBe(named.length)
  })
})
