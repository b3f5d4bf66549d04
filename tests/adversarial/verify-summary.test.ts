import { describe, expect, test, vi } from 'vitest'
import type { Comparison, Result, SummaryPayload } from '../../packages/sdk/src/contract/index.ts'
import { canonicalJson } from '../../packages/sdk/src/integrity/canonical-json.ts'
import { inputDigests } from '../../packages/sdk/src/integrity/digest.ts'
import { signSummary } from '../../packages/sdk/src/integrity/sign-summary.ts'
import {
  VerificationError,
  verificationCodes,
  verificationSteps,
} from '../../packages/sdk/src/integrity/verification-codes.ts'
import type { VerificationReport } from '../../packages/sdk/src/integrity/verification-report.ts'
import { verifySummary, verifySummaryOrThrow } from '../../packages/sdk/src/integrity/verify-summary.ts'
import { fromHex } from './support/bytes.ts'
import { signedWith } from './support/forge.ts'
import {
  knownPublicKey,
  knownSigningKey,
  otherSigningKey,
  payload,
  payloadWith,
  result,
  trustInKnownKey,
} from './support/summary-fixture.ts'

const key = await knownSigningKey()
const trust = await trustInKnownKey()
const jws = await signSummary(payload, key)

const comparison: Comparison = {
  protocol: 'motorcycle-rollers@1',
  runs: [{ id: 'b1', side: 'baseline', purpose: 'measured', reported: { peakPower: { value: 60, unit: 'kW' } } }],
}
const judged: Result = { ...result, inputs: await inputDigests(comparison) }
const judgedJws = await signSummary({ ...payload, result: judged }, key)

const outcomes = (report: VerificationReport) => report.steps.map(({ outcome }) => outcome)

describe('a summary that verifies', () => {
  test('is reported step by step', async () => {
    const report = await verifySummary(jws, { trust })
    expect(report).toMatchObject({
      verdict: 'verified',
      failure: null,
      integrity: 'intact',
      key: { status: 'trusted', kid: key.kid },
      logged: { status: 'not-checked', index: null },
      withdrawn: { status: 'not-checked', asOf: null, reason: null },
      registration: { stated: 'none', planFirst: 'no-plan' },
      recomputed: { answer: 'not-asked' },
      scope: {
        issuer: 'bench.example',
        submitter: payload.issue.submitter,
        isOneParty: false,
        issuedAt: '2026-03-01T09:30:00Z',
        supersedes: null,
        standing: 'limited',
        scope: result.scope,
        limits: result.limits,
      },
      payload,
    })
    expect(report.steps.map(({ step }) => step)).toEqual(verificationSteps)
    expect(outcomes(report)).toEqual([
      'passed', // envelope
      'passed', // header
      'passed', // payload
      'passed', // signature
      'passed', // key
      'not-checked', // log
      'noted', // registration: none
      'not-checked', // recomputation: not asked
      'noted', // scope
    ])
  })

  test('without a trust bundle is intact, and its key unknown', async () => {
    const report = await verifySummary(jws, { keys: [await knownPublicKey()] })
    expect(report).toMatchObject({
      verdict: 'intact-key-unknown',
      integrity: 'intact',
      key: { status: 'unknown' },
      payload,
    })
    expect(report.steps[4]).toMatchObject({ step: 'key', outcome: 'noted' })
  })

  test('with a trust bundle that does not know the key is intact, and its key unknown', async () => {
    const { keys } = await trustInKnownKey()
    const empty = { keys: new Map([...keys].filter(() => false)), logs: [] }
    const report = await verifySummary(jws, { trust: empty, keys: [await knownPublicKey()] })
    expect(report.verdict).toBe('intact-key-unknown')
  })

  test('says when issuer and submitter are one party, however the name is written', async () => {
    const parties = {
      'bench.example': true,
      ' Bench.Example ': true,
      'ｂench.example': true,
      'bench.example.net': false,
    }
    for (const [submitter, isOneParty] of Object.entries(parties)) {
      const report = await verifySummary(await signSummary(payloadWith({ submitter }), key), { trust })
      expect(report.scope?.isOneParty).toBe(isOneParty)
    }
  })

  test('names the summary that it replaces', async () => {
    const supersedes = '0199c0de-0000-7000-8000-000000000000'
    const report = await verifySummary(await signSummary(payloadWith({ supersedes }), key), { trust })
    expect(report).toMatchObject({ verdict: 'verified', scope: { supersedes } })
  })

  test('may have members that this version does not know', async () => {
    const newer = { issue: { ...payload.issue, later: 1 }, result: { ...result, later: [] }, later: {} }
    const report = await verifySummary(await signSummary(newer as SummaryPayload, key), { trust })
    expect(report.verdict).toBe('verified')
  })

  test('says the same twice', async () => {
    expect(await verifySummary(jws, { trust })).toEqual(await verifySummary(jws, { trust }))
  })
})

describe('step 3, payload: signed bytes that are not the one canonical text of a payload', () => {
  const text = canonicalJson(payload)
  const withoutMember = (pointer: string) => {
    const copy = structuredClone(payload) as unknown as Record<string, Record<string, unknown>>
    const [, member = '', name = ''] = pointer.split('/')
    delete copy[member]?.[name]
    return canonicalJson(copy)
  }
  const rows: Readonly<Record<string, readonly [payload: string | Uint8Array, code: string, pointer: string]>> = {
    'a blank': [text.replace(',', ', '), 'ERR_PAYLOAD_NOT_CANONICAL', ''],
    'members in another order': [
      `{"result":${canonicalJson(result)},"issue":${canonicalJson(payload.issue)}}`,
      'ERR_PAYLOAD_NOT_CANONICAL',
      '',
    ],
    'a number written otherwise': [text.replace('"score":87', '"score":87.0'), 'ERR_PAYLOAD_NOT_CANONICAL', ''],
    'a needless escape': [text.replace('bench', 'b\\u0065nch'), 'ERR_PAYLOAD_NOT_CANONICAL', ''],
    'a name twice': [text.replace('"score":87', '"score":87,"score":88'), 'ERR_PAYLOAD_JSON', '/result/score'],
    'a negative zero': [text.replace('"score":87', '"score":-0'), 'ERR_PAYLOAD_JSON', '/result/score'],
    'a byte that is not UTF-8': [fromHex('ff'), 'ERR_PAYLOAD_JSON', ''],
    nothing: ['', 'ERR_PAYLOAD_JSON', ''],
    'a list': ['[]', 'ERR_PAYLOAD_SHAPE', ''],
    null: ['null', 'ERR_PAYLOAD_SHAPE', ''],
    'no issue': [canonicalJson({ result }), 'ERR_PAYLOAD_SHAPE', ''],
    'no issuer': [withoutMember('/issue/issuer'), 'ERR_PAYLOAD_SHAPE', '/issue/issuer'],
    'no digest of the runs': [withoutMember('/result/inputs'), 'ERR_PAYLOAD_SHAPE', '/result/inputs/comparison'],
    'a run without digest': [
      text.replace(`"digest":"sha256:${'3c'.repeat(32)}",`, ''),
      'ERR_PAYLOAD_SHAPE',
      '/result/inputs/runs',
    ],
    'a digest without run': [text.replace('"run":"b1"', '"run":""'), 'ERR_PAYLOAD_SHAPE', '/result/inputs/runs'],
    'a time with an offset': [
      canonicalJson(payloadWith({ issuedAt: '2026-03-01T09:30:00+01:00' })),
      'ERR_PAYLOAD_SHAPE',
      '/issue/issuedAt',
    ],
    'an unknown standing': [
      text.replace('"standing":"limited"', '"standing":"certain"'),
      'ERR_PAYLOAD_SHAPE',
      '/result/standing',
    ],
    'an unknown registration': [
      text.replace('"registration":"none"', '"registration":"sure"'),
      'ERR_PAYLOAD_SHAPE',
      '/issue/registration',
    ],
    'a replaced summary that is no text': [
      text.replace('"supersedes":null', '"supersedes":1'),
      'ERR_PAYLOAD_SHAPE',
      '/issue/supersedes',
    ],
    'a receipt that is no text': [
      text.replace('"receipts":[]', '"receipts":[1]'),
      'ERR_PAYLOAD_SHAPE',
      '/issue/receipts',
    ],
  }
  for (const [says, [bytes, code, pointer]] of Object.entries(rows)) {
    test(`${says}: ${code} at '${pointer}'`, async () => {
      const report = await verifySummary(await signedWith({}, bytes, key), { trust })
      expect(report.failure).toMatchObject({ step: 'payload', code, pointer })
      expect(report).toMatchObject({ verdict: 'refused', integrity: 'not-shown', scope: null, payload: null })
      expect(outcomes(report)).toEqual(['passed', 'passed', 'failed', ...new Array(6).fill('not-reached')])
    })
  }

  test('nothing of the kind is ever signed', async () => {
    const unsignable = { ...payload, result: { ...result, score: 2 ** 53 } }
    await expect(signSummary(unsignable, key)).rejects.toMatchObject({
      code: 'ERR_PAYLOAD_NOT_SIGNABLE',
      pointer: '/result/score',
    })
    await expect(signSummary(payloadWith({ issuedAt: 'today' }), key)).rejects.toMatchObject({
      code: 'ERR_PAYLOAD_NOT_SIGNABLE',
    })
    const infinite = { ...payload, result: { ...result, score: Number.NaN } }
    await expect(signSummary(infinite, key)).rejects.toMatchObject({
      code: 'ERR_NOT_CANONICALISABLE',
      pointer: '/result/score',
    })
  })
})

describe('step 4, signature', () => {
  test('without the key: ERR_SIGNATURE_NO_KEY, and nothing is shown', async () => {
    const report = await verifySummary(jws)
    expect(report.failure).toMatchObject({ step: 'signature', code: 'ERR_SIGNATURE_NO_KEY' })
    expect(report).toMatchObject({ integrity: 'not-shown', key: { status: 'not-reached', kid: key.kid } })
  })

  test('of another key under this kid: ERR_SIGNATURE_BROKEN', async () => {
    const forged = await signedWith({ kid: key.kid }, canonicalJson(payload), await otherSigningKey())
    const report = await verifySummary(forged, { trust })
    expect(report.failure).toMatchObject({ step: 'signature', code: 'ERR_SIGNATURE_BROKEN' })
    expect(report).toMatchObject({ verdict: 'refused', integrity: 'broken', payload: null, scope: null })
  })

  test('of another payload: ERR_SIGNATURE_BROKEN', async () => {
    const [header, , signature] = jws.split('.')
    const [, body] = judgedJws.split('.')
    const report = await verifySummary(`${header}.${body}.${signature}`, { trust })
    expect(report.failure?.code).toBe('ERR_SIGNATURE_BROKEN')
  })

  test('is checked with the trusted key, not with one that came along under the same kid', async () => {
    const known = await knownPublicKey()
    const posing = { ...known, cryptoKey: (await otherPublicKey()).cryptoKey }
    expect((await verifySummary(jws, { trust, keys: [posing] })).verdict).toBe('verified')
    expect((await verifySummary(jws, { keys: [posing] })).failure?.code).toBe('ERR_SIGNATURE_BROKEN')
  })
})

async function otherPublicKey() {
  const { importPublicKey } = await import('../../packages/sdk/src/integrity/ed25519-key.ts')
  const imported = await importPublicKey((await otherSigningKey()).jwk)
  if (!imported.ok) throw new Error(imported.problem.code)
  return imported.value
}

describe('step 5, key: an intact signature of a key that may not have signed', () => {
  const rows = {
    'trusted for another issuer': [{ issuer: 'other.example' }, 'ERR_KEY_OTHER_ISSUER'],
    'not yet in use': [{ notBefore: '2026-03-01T09:30:01Z' }, 'ERR_KEY_OUTSIDE_WINDOW'],
    'no longer in use': [{ notAfter: '2026-03-01T09:29:59Z' }, 'ERR_KEY_OUTSIDE_WINDOW'],
    'revoked, with no proof of an older date': [{ notTrustedFromIndex: 5000 }, 'ERR_KEY_REVOKED'],
  } as const
  for (const [says, [change, code]] of Object.entries(rows)) {
    test(`${says}: ${code}`, async () => {
      const report = await verifySummary(jws, { trust: await trustInKnownKey(change) })
      expect(report.failure).toMatchObject({ step: 'key', code })
      expect(report).toMatchObject({ verdict: 'refused', integrity: 'intact', payload: null, scope: null })
    })
  }
})

describe('step 7, registration: what the issuer states must not contradict itself', () => {
  test('receipts without a plan, and a plan without receipts: ERR_REGISTRATION_CONTRADICTED', async () => {
    for (const issue of [{ receipts: ['r1'] }, { registration: 'amended' as const }]) {
      const report = await verifySummary(await signSummary(payloadWith(issue), key), { trust })
      expect(report.failure).toMatchObject({ step: 'registration', code: 'ERR_REGISTRATION_CONTRADICTED' })
      expect(report).toMatchObject({ verdict: 'refused', integrity: 'intact', payload: null })
    }
  })
})

describe('step 8, recomputation', () => {
  const answers: Readonly<Record<string, readonly [recomputed: Result, answer: string, outcome: string]>> = {
    'the same result': [judged, 'identical', 'passed'],
    'a figure one unit off in its last digit': [
      { ...judged, budget: [{ ...result.budget[0], share: 99.9999 }] as Result['budget'] },
      'agrees-to-last-digit',
      'passed',
    ],
    'a result of another method': [{ ...judged, method: '2.0.0', score: 1 }, 'other-method-version', 'noted'],
  }
  for (const [says, [recomputed, answer, outcome]] of Object.entries(answers)) {
    test(`${says}: ${answer}`, async () => {
      const report = await verifySummary(judgedJws, { trust, comparison, recompute: () => recomputed })
      expect(report).toMatchObject({ verdict: 'verified', recomputed: { answer, otherRuns: [] } })
      expect(report.steps[7]?.outcome).toBe(outcome)
    })
  }

  test('another result from the same data and method: ERR_RECOMPUTED_DIFFERS, with the members named', async () => {
    const recompute = async () => ({ ...judged, score: 100 })
    const report = await verifySummary(judgedJws, { trust, comparison, recompute })
    expect(report.failure).toMatchObject({ step: 'recomputation', code: 'ERR_RECOMPUTED_DIFFERS' })
    expect(report).toMatchObject({
      verdict: 'refused',
      integrity: 'intact',
      recomputed: { answer: 'differs', members: ['/score'], memberCount: 1 },
      scope: { issuer: 'bench.example' },
      payload: null,
    })
  })

  test('other data accuse nobody and are not recomputed', async () => {
    const recompute = vi.fn(() => judged)
    const [run] = comparison.runs
    const other = { ...comparison, runs: [{ ...run, side: 'modified' }] } as Comparison
    const report = await verifySummary(judgedJws, { trust, comparison: other, recompute })
    expect(report).toMatchObject({ verdict: 'verified', recomputed: { answer: 'other-inputs', otherRuns: ['b1'] } })
    expect(recompute).not.toHaveBeenCalled()
  })

  test('the signed data without a way to recompute: inputs-match', async () => {
    const report = await verifySummary(judgedJws, { trust, comparison })
    expect(report.recomputed.answer).toBe('inputs-match')
  })

  test('is not reached when the key may not have signed', async () => {
    const recompute = vi.fn(() => judged)
    const revoked = await trustInKnownKey({ notTrustedFromIndex: 0 })
    await verifySummary(judgedJws, { trust: revoked, comparison, recompute })
    expect(recompute).not.toHaveBeenCalled()
  })

  test('passes on what the caller’s own computation throws', async () => {
    const recompute = () => {
      throw new RangeError('no such protocol here')
    }
    await expect(verifySummary(judgedJws, { trust, comparison, recompute })).rejects.toThrow(RangeError)
  })
})

describe('the throwing form', () => {
  test('gives payload and report of a summary that verified', async () => {
    const verified = await verifySummaryOrThrow(jws, { trust })
    expect(verified.payload).toEqual(payload)
    expect(verified.report.verdict).toBe('verified')
  })

  test('throws code and step of a refusal, and no payload', async () => {
    const error = await verifySummaryOrThrow(`${jws.slice(0, -4)}AAAA`, { trust }).catch((thrown: unknown) => thrown)
    expect(error).toBeInstanceOf(VerificationError)
    expect(error).toMatchObject({ code: 'ERR_SIGNATURE_BROKEN', step: 'signature' })
    expect(JSON.stringify(error)).not.toContain('bench.example')
  })

  test('throws ERR_KEY_UNKNOWN for an unknown key, unless the caller accepts it', async () => {
    const keys = [await knownPublicKey()]
    await expect(verifySummaryOrThrow(jws, { keys })).rejects.toMatchObject({ code: 'ERR_KEY_UNKNOWN', step: 'key' })
    expect((await verifySummaryOrThrow(jws, { keys, acceptUnknownKey: true })).payload).toEqual(payload)
  })
})

test('every code belongs to a step, and the steps of the codes come in the order of the procedure', () => {
  const order = Object.values(verificationCodes).map((step) => verificationSteps.indexOf(step))
  expect(order).not.toContain(-1)
  expect(order).toEqual(order.toSorted((one, other) => one - other))
})
