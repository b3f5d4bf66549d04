import { expect, test } from 'vitest'
import { importPublicKey } from '../../packages/sdk/src/integrity/ed25519-key.ts'
import { readEnvelope } from '../../packages/sdk/src/integrity/jws.ts'
import { readKeySet } from '../../packages/sdk/src/integrity/key-set.ts'
import { verifySummary } from '../../packages/sdk/src/integrity/verify-summary.ts'
import { codeOf } from '../adversarial/support/bytes.ts'
import { describeExternal, externalText } from '../support/external-vectors.ts'

interface Case {
  readonly tcId: number
  readonly comment: string
  readonly jws?: string | Readonly<Record<string, unknown>>
  readonly jwe?: string
}

interface Suite {
  readonly testGroups: readonly {
    readonly private?: unknown
    readonly public?: unknown
    readonly tests: readonly Case[]
  }[]
}

const folder = 'vectors/wycheproof'
const read = (file: string) => JSON.parse(externalText(`${folder}/${file}`)) as Suite
const casesOf = (suite: Suite) => suite.testGroups.flatMap(({ tests }) => tests)

/** Cases whose text, not only its signature, is at fault: padding, blanks, stray characters, stray bits. */
const textFaults = /spaces|invalidchar|InvalidChar|base64|padding|UnusedBits|IncorrectlyEncoded/i

describeExternal('C2SP Wycheproof, JSON Web Signature', `${folder}/json_web_signature_test.json`, () => {
  const suite = () => read('json_web_signature_test.json')

  test('no case verifies as a signed summary, because none is made with Ed25519', async () => {
    const cases = casesOf(suite())
    expect(cases.length).toBeGreaterThanOrEqual(400)
    for (const { jws } of cases) expect((await verifySummary(jws)).verdict).toBe('refused')
  })

  test('texts with padding, blanks, stray characters or stray bits end at the envelope', () => {
    const faulty = casesOf(suite()).filter(({ comment }) => textFaults.test(comment) && !/InJsonHeader/i.test(comment))
    expect(faulty.length).toBeGreaterThanOrEqual(12)
    const accepted = faulty.filter(({ jws }) => readEnvelope(jws).ok).map(({ tcId, comment }) => `${tcId} ${comment}`)
    expect(accepted).toEqual([])
  })
})

describeExternal('C2SP Wycheproof, JSON Web Key', `${folder}/json_web_key_test.json`, () => {
  test('no key set is taken, because none holds Ed25519 keys only', async () => {
    const groups = read('json_web_key_test.json').testGroups
    expect(groups.length).toBeGreaterThanOrEqual(20)
    for (const { private: secret, public: open } of groups) {
      for (const keySet of [secret, open].filter((each) => each !== undefined)) {
        expect(codeOf(await readKeySet(keySet))).toMatch(/^ERR_KEY/)
      }
    }
  })
})

describeExternal('C2SP Wycheproof, JSON Web Crypto', `${folder}/json_web_crypto_test.json`, () => {
  test('no signature, no encrypted text and no key of it is taken', async () => {
    const suite = read('json_web_crypto_test.json')
    for (const { private: secret, public: open } of suite.testGroups) {
      expect(codeOf(await importPublicKey(secret))).toMatch(/^ERR_KEY/)
      expect(codeOf(await importPublicKey(open))).toMatch(/^ERR_KEY/)
    }
    for (const { jws, jwe } of casesOf(suite)) expect((await verifySummary(jws ?? jwe)).verdict).toBe('refused')
  })
})
