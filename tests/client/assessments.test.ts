import { describe, expect, test } from 'vitest'
import type { Assessment } from '../../packages/sdk/src/client/index.ts'
import type { Comparison, SummaryPayload } from '../../packages/sdk/src/contract/index.ts'
import { importSigningKey, inputDigests, type SigningKey, signSummary } from '../../packages/sdk/src/integrity/index.ts'
import { validResult } from '../cli/results.ts'
import { clientOn, failureOf } from './clients.ts'
import { answerJson, listen } from './loopback.ts'

/** The key pair of RFC 8037, appendix A.1. */
const published = {
  kty: 'OKP',
  crv: 'Ed25519',
  d: 'nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A',
  x: '11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo',
} as const

const ID = '0193c9e0-0000-7000-8000-000000000001'

const comparison: Comparison = {
  protocol: 'motorcycle-rollers@1',
  runs: [
    { id: 'b1', side: 'baseline', purpose: 'measured', reported: { peakPower: { value: 70, unit: 'kW' } } },
    { id: 'm1', side: 'modified', purpose: 'measured', reported: { peakPower: { value: 72, unit: 'kW' } } },
  ],
}

async function signingKey(): Promise<SigningKey> {
  const key = await importSigningKey(published)
  if (!key.ok) throw new TypeError(key.problem.detail)
  return key.value
}

async function payloadOf(judged: Comparison, id = ID): Promise<SummaryPayload> {
  return {
    issue: {
      id,
      issuer: 'Bench service',
      submitter: 'A workshop',
      issuedAt: '2031-05-01T10:00:00Z',
      supersedes: null,
      registration: 'none',
      receipts: [],
    },
    result: { ...validResult, inputs: await inputDigests(judged) },
  }
}

/** A service that answers every comparison with one summary and publishes its key. */
async function serviceWith(payload: SummaryPayload, alter: (summary: string) => string = (s) => s) {
  const key = await signingKey()
  const summary = alter(await signSummary(payload, key))
  const server = await listen((response, { url }) => {
    if (url === '/.well-known/jwks.json') answerJson(response, { keys: [key.jwk] })
    else answerJson(response, { id: ID, summary, payload: { forged: true } }, 201)
  })
  const trust = { keys: [{ jwk: key.jwk, issuer: 'Bench service', notBefore: '2031-01-01T00:00:00Z' }] }
  return { server, trust, summary }
}

const paths = ({ received }: Awaited<ReturnType<typeof listen>>) => received.map(({ url }) => url)

describe('assessments', () => {
  test('with trust, the summary is verified before the caller sees it, and nothing else is asked for', async () => {
    const { server, trust, summary } = await serviceWith(await payloadOf(comparison))
    const assessment: Assessment = await clientOn(server.baseUrl, { trust }).assessments.create(comparison)
    expect(assessment.report.verdict).toBe('verified')
    expect(assessment.summary).toBe(summary)
    expect(assessment.result.verdict).toBe(validResult.verdict)
    expect(paths(server)).toEqual(['/v1/assessments'])
  })

  test('the payload comes out of the signed summary, never out of the readable copy beside it', async () => {
    const { server, trust } = await serviceWith(await payloadOf(comparison))
    const { payload } = await clientOn(server.baseUrl, { trust }).assessments.create(comparison)
    expect(payload).not.toHaveProperty('forged')
    expect(payload.issue.id).toBe(ID)
  })

  test('without trust the report says that nobody vouches for the key; the key set is asked for once', async () => {
    const { server } = await serviceWith(await payloadOf(comparison))
    const client = clientOn(server.baseUrl)
    const { report } = await client.assessments.create(comparison)
    await client.assessments.get(ID)
    expect(report).toMatchObject({ verdict: 'intact-key-unknown', integrity: 'intact', key: { status: 'unknown' } })
    expect(paths(server)).toEqual(['/v1/assessments', '/.well-known/jwks.json', `/v1/assessments/${ID}`])
  })

  test('an altered summary is refused; its payload is in no part of the error', async () => {
    const alter = (summary: string) => summary.replace(/\.(.)/, (_, first) => `.${first === 'e' ? 'f' : 'e'}`)
    const { server, trust } = await serviceWith(await payloadOf(comparison), alter)
    const error = await failureOf(clientOn(server.baseUrl, { trust }).assessments.create(comparison))
    expect(error.name).toBe('VerificationError')
    expect(`${error.message}${JSON.stringify(error)}`).not.toContain('air-filter')
  })

  test('a key that is trusted for another issuer is refused', async () => {
    const { server, trust } = await serviceWith(await payloadOf(comparison))
    const other = { keys: trust.keys.map((key) => ({ ...key, issuer: 'Another service' })) }
    const error = await failureOf(clientOn(server.baseUrl, { trust: other }).assessments.create(comparison))
    expect(error).toMatchObject({ name: 'VerificationError', code: 'ERR_KEY_OTHER_ISSUER' })
  })

  test('safe() gives a refused summary as an outcome', async () => {
    const { server, trust } = await serviceWith(await payloadOf(comparison))
    const other = { keys: trust.keys.map((key) => ({ ...key, issuer: 'Another service' })) }
    const outcome = await clientOn(server.baseUrl, { trust: other }).assessments.create(comparison).safe()
    expect(outcome).toMatchObject({ ok: false, error: { code: 'ERR_KEY_OTHER_ISSUER' } })
  })

  test('a sound summary of other data than were sent is refused', async () => {
    const [baseline, modified] = comparison.runs
    if (baseline === undefined || modified === undefined) throw new TypeError('two runs')
    const other = {
      ...comparison,
      runs: [baseline, { ...modified, reported: { peakPower: { value: 71, unit: 'kW' } } }],
    } as const
    const { server, trust } = await serviceWith(await payloadOf(other))
    const error = await failureOf(clientOn(server.baseUrl, { trust }).assessments.create(comparison))
    expect(error).toMatchObject({ code: 'ERR_UNEXPECTED_ANSWER' })
    expect(error.message).toContain('a summary of other data than were sent')
  })

  test('members that are undefined were not sent, and do not make the data other data', async () => {
    const { server, trust } = await serviceWith(await payloadOf(comparison))
    const withUndefined = { ...comparison, claims: undefined } as unknown as Comparison
    const { report } = await clientOn(server.baseUrl, { trust }).assessments.create(withUndefined)
    expect(report.recomputed.answer).toBe('inputs-match')
  })

  test('what counts is the comparison as it was when it was sent', async () => {
    const { server, trust } = await serviceWith(await payloadOf(comparison))
    const changing = structuredClone(comparison) as { protocol: string } & Comparison
    const call = clientOn(server.baseUrl, { trust }).assessments.create(changing)
    changing.protocol = 'something-else@1'
    expect((await call).report.recomputed.answer).toBe('inputs-match')
  })

  test('a summary under another id than the answer names is refused', async () => {
    const { server, trust } = await serviceWith(await payloadOf(comparison, ID.replace(/1$/, '2')))
    expect(await failureOf(clientOn(server.baseUrl, { trust }).assessments.create(comparison))).toMatchObject({
      code: 'ERR_UNEXPECTED_ANSWER',
    })
  })

  test('an answer without a summary is refused', async () => {
    const server = await listen((response) => answerJson(response, { id: ID }, 201))
    const error = await failureOf(clientOn(server.baseUrl).assessments.create(comparison))
    expect(error).toMatchObject({ code: 'ERR_UNEXPECTED_ANSWER', requestId: 'req-1' })
  })

  test('a trust bundle that is none is refused by name, before anything is sent', async () => {
    const { server } = await serviceWith(await payloadOf(comparison))
    const trust = {
      keys: [{ jwk: { kty: 'OKP', crv: 'Ed25519', x: '' }, issuer: 'x', notBefore: 'yesterday' }],
    } as const
    const error = await failureOf(clientOn(server.baseUrl, { trust }).assessments.create(comparison))
    expect(error).toMatchObject({ name: 'ConfigurationError', code: 'ERR_CONFIGURATION', option: 'trust' })
    expect(server.received).toHaveLength(0)
  })

  test('a dry run is asked for as such and is not signed', async () => {
    const server = await listen((response) => answerJson(response, { dryRun: true, result: validResult }))
    const { result } = await clientOn(server.baseUrl).assessments.create(comparison, { dryRun: true })
    expect(result.standing).toBe('valid')
    expect(paths(server)).toEqual(['/v1/assessments?dryRun=true'])
  })
})

describe('verifications and keys', () => {
  test('a refused summary is an answer, not an error', async () => {
    const report = { verdict: 'refused', failure: { code: 'ERR_JWS_PARTS' } }
    const server = await listen((response) => answerJson(response, report))
    await expect(clientOn(server.baseUrl).verifications.create({ summary: 'x' })).resolves.toMatchObject(report)
    expect(server.received[0]?.body).toBe('{"summary":"x"}')
  })

  test('the key set is the one the service publishes', async () => {
    const server = await listen((response) => answerJson(response, { keys: [] }))
    await expect(clientOn(server.baseUrl).keys.jwks()).resolves.toEqual({ keys: [] })
    expect(paths(server)).toEqual(['/.well-known/jwks.json'])
  })
})
