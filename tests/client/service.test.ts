import { describe, expect, test } from 'vitest'
import { Fairpull } from '../../packages/sdk/src/client/index.ts'
import type { Comparison } from '../../packages/sdk/src/contract/index.ts'
import { createTestApp } from '../support/test-app.ts'
import { failureOf } from './clients.ts'

const comparison: Comparison = {
  protocol: 'motorcycle-rollers@1',
  runs: [
    { id: 'b1', side: 'baseline', purpose: 'measured', reported: { peakPower: { value: 70, unit: 'kW' } } },
    { id: 'm1', side: 'modified', purpose: 'measured', reported: { peakPower: { value: 72, unit: 'kW' } } },
  ],
}

/** A client whose requests go straight into the real application, and that trusts its key. */
async function connected(apiKey?: string) {
  const app = await createTestApp()
  const options = {
    baseUrl: 'http://service.test',
    retries: 0,
    apiKey: apiKey ?? app.key,
    fetch: async (input: RequestInfo | URL, init?: RequestInit) => app.fetch(new Request(input, init)),
  }
  const { keys } = await new Fairpull(options).keys.jwks()
  const trust = { keys: keys.map((jwk) => ({ jwk, issuer: 'Test service', notBefore: '2026-01-01T00:00:00Z' })) }
  return new Fairpull({ ...options, trust })
}

describe('the client and the real application', () => {
  test('a comparison comes back signed, verified and of the data that were sent', async () => {
    const fairpull = await connected()
    const created = await fairpull.assessments.create(comparison)
    expect(created.report).toMatchObject({ verdict: 'verified', recomputed: { answer: 'inputs-match' } })
    expect((await fairpull.assessments.get(created.id)).summary).toBe(created.summary)
  })

  test('the list is followed page by page to its end, newest first', async () => {
    const fairpull = await connected()
    const made: string[] = []
    for (let i = 0; i < 5; i++) made.unshift((await fairpull.assessments.create(comparison)).id)
    const listed: string[] = []
    for await (const { id } of fairpull.assessments.list({ limit: 2 })) listed.push(id)
    expect(listed).toEqual(made)
  })

  test('one idempotency key is one assessment', async () => {
    const fairpull = await connected()
    const first = await fairpull.assessments.create(comparison, { idempotencyKey: 'k-1' })
    const second = await fairpull.assessments.create(comparison, { idempotencyKey: 'k-1' })
    expect(second.summary).toBe(first.summary)
  })

  test('a dry run is not kept', async () => {
    const fairpull = await connected()
    expect((await fairpull.assessments.create(comparison, { dryRun: true })).dryRun).toBe(true)
    expect((await fairpull.assessments.list().next()).done).toBe(true)
  })

  test('a refusal names the members and the request', async () => {
    const fairpull = await connected()
    const wrong = { ...comparison, reportIn: 'un-r58' } as unknown as Comparison
    const error = await failureOf(fairpull.assessments.create(wrong))
    expect(error).toMatchObject({ name: 'ApiError', status: 422, errors: [{ pointer: '/reportIn' }] })
    expect(error.message).toContain(`Request id: ${error.requestId}`)
  })

  test('a key that is not let in, and an assessment that is not there', async () => {
    expect(await failureOf((await connected('fp_other')).assessments.create(comparison))).toMatchObject({ status: 401 })
    expect(await failureOf((await connected()).assessments.get('none'))).toMatchObject({ status: 404 })
  })

  test('the service verifies what it signed, and lists what it judges by', async () => {
    const fairpull = await connected()
    const { summary } = await fairpull.assessments.create(comparison)
    expect((await fairpull.verifications.create({ summary, comparison })).verdict).toBe('verified')
    const { items } = await fairpull.protocols.list()
    expect((await fairpull.protocols.get(items[0]?.id ?? '')).checks).toHaveLength(1)
  })
})
