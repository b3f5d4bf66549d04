import { expect, test } from 'vitest'
import { importPublicKey, verifyBytes } from '../../packages/sdk/src/integrity/ed25519-key.ts'
import { acceptedValue, fromHex } from '../adversarial/support/bytes.ts'
import { describeExternal, externalText } from '../support/external-vectors.ts'

const FILE = 'vectors/wycheproof/ed25519_test.json'

interface Suite {
  readonly numberOfTests: number
  readonly testGroups: readonly {
    readonly publicKeyJwk: { readonly kty: string; readonly crv: string; readonly x: string }
    readonly tests: readonly {
      readonly tcId: number
      readonly comment: string
      readonly msg: string
      readonly sig: string
      readonly result: 'valid' | 'invalid'
    }[]
  }[]
}

describeExternal('C2SP Wycheproof, Ed25519', FILE, () => {
  test('all 151 cases have the stated result', async () => {
    const suite = JSON.parse(externalText(FILE)) as Suite
    const unlike: string[] = []
    let count = 0
    for (const { publicKeyJwk, tests } of suite.testGroups) {
      const { kty, crv, x } = publicKeyJwk
      const key = acceptedValue(await importPublicKey({ kty, crv, x }))
      for (const { tcId, comment, msg, sig, result } of tests) {
        const isValid = await verifyBytes(key, fromHex(sig), fromHex(msg))
        if (isValid !== (result === 'valid')) unlike.push(`${tcId} ${comment}`)
        count += 1
      }
    }
    expect(unlike).toEqual([])
    expect(count).toBe(151)
  })
})
