import { describe } from 'vitest'
import { importSigningKey, signBytes } from '../../packages/sdk/src/integrity/ed25519-key.ts'
import { acceptedValue, fromText } from '../adversarial/support/bytes.ts'
import { expectPublishedExactly, testPublished } from '../support/published.ts'

/** RFC 9421 B.1.4: test-key-ed25519; the public part is checked against the private one on import. */
const testKey = {
  kty: 'OKP',
  crv: 'Ed25519',
  x: 'JrQLj5P_89iXES9-vFgrIy29clF9CC_oPPsw3c5D0bs',
  d: 'n4Ni-HpISpVObnQMW0wOhCKROaIKqKtW_2ZYb2p9KcU',
}

/** RFC 9421 B.2.6: the signature base. */
const signatureBase = [
  '"date": Tue, 20 Apr 2021 02:07:55 GMT',
  '"@method": POST',
  '"@path": /foo',
  '"@authority": example.com',
  '"content-type": application/json',
  '"content-length": 18',
  '"@signature-params": ("date" "@method" "@path" "@authority" "content-type" "content-length");created=1618884473;keyid="test-key-ed25519"',
].join('\n')

describe('RFC 9421 B.2.6: an Ed25519 signature of text', () => {
  testPublished('rfc9421-b26', async (check) => {
    const signature = await signBytes(acceptedValue(await importSigningKey(testKey)), fromText(signatureBase))
    expectPublishedExactly(check, Buffer.from(signature).toString('base64'))
  })
})
