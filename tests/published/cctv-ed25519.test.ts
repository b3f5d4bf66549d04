import { expect, test } from 'vitest'
import { importPublicKey } from '../../packages/sdk/src/integrity/ed25519-key.ts'
import { base64url, codeOf, fromHex } from '../adversarial/support/bytes.ts'
import { describeExternal, externalText } from '../support/external-vectors.ts'

const FILE = 'vectors/cctv.json'

interface Case {
  readonly number: number
  readonly key: string
  readonly flags: readonly string[] | null
}

describeExternal('C2SP CCTV, Ed25519 keys', FILE, () => {
  const cases = () => JSON.parse(externalText(FILE)) as readonly Case[]
  const codeOfKey = async (key: string) =>
    codeOf(await importPublicKey({ kty: 'OKP', crv: 'Ed25519', x: base64url(fromHex(key)) }))

  test('of 914 cases, no key of small order and no non-canonical key is taken', async () => {
    expect(cases()).toHaveLength(914)
    const taken: number[] = []
    let faulty = 0
    for (const { number, key, flags } of cases()) {
      if (!flags?.some((flag) => flag === 'low_order_A' || flag === 'non_canonical_A')) continue
      faulty += 1
      if ((await codeOfKey(key)) === 'accepted') taken.push(number)
    }
    expect(taken).toEqual([])
    expect(faulty).toBeGreaterThan(400)
  })

  test('every refusal names small order or non-canonical, and every other key is taken', async () => {
    for (const { key, flags } of cases()) {
      const isFaulty = flags?.some((flag) => flag === 'low_order_A' || flag === 'non_canonical_A') === true
      const code = await codeOfKey(key)
      if (isFaulty) expect(code).toMatch(/^ERR_KEY_(SMALL_ORDER|NON_CANONICAL)$/)
      else expect(code).toBe('accepted')
    }
  })
})
