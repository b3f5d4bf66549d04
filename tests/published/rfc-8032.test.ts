import { describe, expect } from 'vitest'
import {
  importPublicKey,
  importSigningKey,
  signBytes,
  verifyBytes,
} from '../../packages/sdk/src/integrity/ed25519-key.ts'
import { acceptedValue, base64url, fromHex, toHex } from '../adversarial/support/bytes.ts'
import { expectPublishedExactly, testPublished } from '../support/published.ts'

describe('RFC 8032 §7.1: Ed25519 test vectors', () => {
  for (const id of ['ed25519-2', 'ed25519-3']) {
    testPublished(id, async (check) => {
      const [seed, point, message] = ['seed', 'public', 'message_hex'].map((name) =>
        fromHex(String(check.inputs[name])),
      )
      const jwk = { kty: 'OKP', crv: 'Ed25519', x: base64url(point ?? ''), d: base64url(seed ?? '') }
      const signature = await signBytes(acceptedValue(await importSigningKey(jwk)), message ?? new Uint8Array())
      expectPublishedExactly(check, toHex(signature))

      const { d: _secret, ...publicJwk } = jwk
      const key = acceptedValue(await importPublicKey(publicJwk))
      expect(await verifyBytes(key, signature, message ?? new Uint8Array())).toBe(true)
      expect(await verifyBytes(key, signature, new Uint8Array([0]))).toBe(false)
    })
  }
})
