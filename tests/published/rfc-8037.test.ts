import { describe, expect, test } from 'vitest'
import { importPublicKey, importSigningKey, signBytes } from '../../packages/sdk/src/integrity/ed25519-key.ts'
import { verifySummary } from '../../packages/sdk/src/integrity/verify-summary.ts'
import { acceptedValue, base64url, fromText } from '../adversarial/support/bytes.ts'
import { expectPublishedExactly, published, testPublished } from '../support/published.ts'

const { x, d } = published('rfc8037-a3').inputs
const publicJwk = { kty: 'OKP', crv: 'Ed25519', x }

describe('RFC 8037, Appendix A: Ed25519 in JOSE', () => {
  testPublished('rfc8037-a3', async (check) => {
    expectPublishedExactly(check, acceptedValue(await importPublicKey(publicJwk)).kid)
  })

  testPublished('rfc8037-a4', async (check) => {
    const key = acceptedValue(await importSigningKey({ ...publicJwk, d }))
    const input = `${base64url('{"alg":"EdDSA"}')}.${base64url('Example of Ed25519 signing')}`
    const signature = await signBytes(key, fromText(input))
    expectPublishedExactly(check, `${input}.${base64url(signature)}`)
  })

  test('A.4: the example is no signed summary, because its algorithm name is the polymorphic one', async () => {
    const key = acceptedValue(await importPublicKey(publicJwk))
    const report = await verifySummary(published('rfc8037-a4').expected, { keys: [key] })
    expect(report.failure?.code).toBe('ERR_HEADER_ALG_OTHER')
  })
})
