import { describe } from 'vitest'
import { jwkThumbprint } from '../../packages/sdk/src/integrity/ed25519-key.ts'
import { expectPublishedExactly, testPublished } from '../support/published.ts'

describe('RFC 7638 §3.1: thumbprint of a key', () => {
  testPublished('rfc7638', async (check) => {
    const { e, n } = check.inputs
    expectPublishedExactly(check, await jwkThumbprint({ kty: 'RSA', e: String(e), n: String(n) }))
  })
})
