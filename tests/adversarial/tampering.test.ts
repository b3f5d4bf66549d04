import { expect, test } from 'vitest'
import { canonicalJson } from '../../packages/sdk/src/integrity/canonical-json.ts'
import { signSummary } from '../../packages/sdk/src/integrity/sign-summary.ts'
import { verifySummary } from '../../packages/sdk/src/integrity/verify-summary.ts'
import { base64url } from './support/bytes.ts'
import { byteMutants, documentMutants, tokenMutants } from './support/mutants.ts'
import { knownSigningKey, otherSigningKey, payload, payloadWith, trustInKnownKey } from './support/summary-fixture.ts'

const key = await knownSigningKey()
const trust = await trustInKnownKey()
const jws = await signSummary(payload, key)
const [header = '', body = '', signature = ''] = jws.split('.')

/** Verifies every mutant; the codes met and the mutants that passed. */
async function verifyAll(mutants: Iterable<string>) {
  const survivors: string[] = []
  const codes = new Map<string, number>()
  for (const mutant of mutants) {
    if (mutant === jws) continue
    const { verdict, failure } = await verifySummary(mutant, { trust })
    if (verdict !== 'refused') survivors.push(mutant)
    const code = failure?.code ?? verdict
    codes.set(code, (codes.get(code) ?? 0) + 1)
  }
  const count = [...codes.values()].reduce((sum, each) => sum + each, 0)
  return { survivors, codes, count }
}

test('the untouched summary verifies, so that a refusal below means something', async () => {
  expect((await verifySummary(jws, { trust })).verdict).toBe('verified')
})

/** Every mutant is verified where `CI` is set; elsewhere every fifth, by turns of every kind and place. */
const stride = process.env.CI === undefined ? 5 : 1

function* everyNth<Item>(items: Iterable<Item>, step: number): Generator<Item> {
  let index = 0
  for (const item of items) {
    if (index % step === 0) yield item
    index += 1
  }
}

test('no summary with one bit flipped, or one byte dropped, doubled, inserted or exchanged with the next, verifies', async () => {
  const { survivors, count } = await verifyAll(everyNth(byteMutants(jws), stride))
  expect(survivors).toEqual([])
  expect(count).toBeGreaterThan(50_000 / stride)
}, 300_000)

test('no payload with a token exchanged, a member dropped or renamed, or an array in another order verifies', async () => {
  const texts = [...tokenMutants(canonicalJson(payload)), ...documentMutants(payload).map(canonicalJson)]
  const { survivors, count, codes } = await verifyAll(texts.map((text) => `${header}.${base64url(text)}.${signature}`))
  expect(survivors).toEqual([])
  expect(count).toBeGreaterThan(300)
  // Names that changed places are doubled or out of order; what is still a payload is stopped by the signature alone.
  expect(codes.get('ERR_SIGNATURE_BROKEN')).toBeGreaterThan(200)
  expect([...codes.keys()].sort()).toEqual([
    'ERR_PAYLOAD_JSON',
    'ERR_PAYLOAD_NOT_CANONICAL',
    'ERR_PAYLOAD_SHAPE',
    'ERR_SIGNATURE_BROKEN',
  ])
})

test('no part of another genuine summary can be put in place of one of these', async () => {
  const strangers = [
    await signSummary(payloadWith({ issuedAt: '2026-03-01T09:30:01Z' }), key),
    await signSummary(payload, await otherSigningKey()),
  ]
  const mutants = strangers.flatMap((stranger) => {
    const [otherHeader, otherBody, otherSignature] = stranger.split('.')
    return [
      `${otherHeader}.${body}.${signature}`,
      `${header}.${otherBody}.${signature}`,
      `${header}.${body}.${otherSignature}`,
      `${otherHeader}.${body}.${otherSignature}`,
    ]
  })
  const genuine = new Set([jws, ...strangers])
  const { survivors } = await verifyAll(mutants.filter((mutant) => !genuine.has(mutant)))
  expect(survivors).toEqual([])
})

test('no signature with its second half replaced by an equivalent one verifies (S + L)', async () => {
  // RFC 8032 §8.4: S and S + L satisfy the same equation; only S below L may be taken.
  const order = 2n ** 252n + 27742317777372353535851937790883648493n
  const bytes = Buffer.from(signature, 'base64url')
  const scalar = BigInt(`0x${Buffer.from(bytes.subarray(32)).reverse().toString('hex')}`) + order
  const twin = Buffer.from(scalar.toString(16).padStart(64, '0'), 'hex').reverse()
  const malleated = base64url(Buffer.concat([bytes.subarray(0, 32), twin]))
  const { survivors } = await verifyAll([`${header}.${body}.${malleated}`])
  expect(survivors).toEqual([])
})
