/** A reviewer: what does this published comparison prove, was it altered, do the numbers come out again? */
import { assess } from '@fairpull/sdk/engine'
import { readKeySet, verifySummary } from '@fairpull/sdk/verify'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { demoComparison } from '../../packages/service/demo/scenario/index.ts'
import { type Journey, startJourney } from '../support/journey.ts'

let journey: Journey

beforeAll(async () => {
  journey = await startJourney()
})

afterAll(() => journey.end())

/** Somebody without an API key. */
const stranger = () => journey.client({ apiKey: undefined as never })

describe('two published peak figures', () => {
  test('support nothing by themselves, and the answer says what must be disclosed', async () => {
    const { result } = await journey.client().assessments.create(demoComparison('published-peaks', 1))
    expect(result.standing).not.toBe('valid')
    const [peak] = result.claims
    expect(peak?.claim).toBe('peak')
    expect(peak?.judgement).not.toBe('supported')
    expect(result.findings.some(({ status }) => status === 'not-evidenced')).toBe(true)
    expect(result.nextSteps.some(({ cost }) => cost === 'ask-the-publisher')).toBe(true)
    expect(result.limits.length).toBeGreaterThan(0)
  })
})

describe("somebody else's summary", () => {
  const comparison = demoComparison('air-filter', 1)
  let summary: string

  beforeAll(async () => {
    summary = (await journey.client().assessments.create(comparison)).summary
  })

  test('is verified by the service for whoever asks, and the numbers come out again', async () => {
    const report = await stranger().verifications.create({ summary, comparison })
    expect(report).toMatchObject({ verdict: 'verified', recomputed: { answer: 'identical', members: [] } })
  })

  test('is verified offline, and the numbers come out again without the service', async () => {
    const keys = await readKeySet(await stranger().keys.jwks())
    if (!keys.ok) throw new Error(keys.problem.detail)
    const report = await verifySummary(summary, { keys: keys.value, comparison, recompute: assess })
    expect(report).toMatchObject({ verdict: 'intact-key-unknown', recomputed: { answer: 'identical' } })
  })

  test('says nothing about other data', async () => {
    const [run, ...others] = comparison.runs
    if (run === undefined) throw new Error('the comparison has runs')
    const other = { ...comparison, runs: [{ ...run, counter: 999 }, ...others] }
    const report = await stranger().verifications.create({ summary, comparison: other })
    expect(report).toMatchObject({ verdict: 'verified', recomputed: { answer: 'other-inputs', otherRuns: [run.id] } })
  })

  test('was altered: the report refuses it', async () => {
    const at = Math.floor(summary.length / 2)
    const altered = `${summary.slice(0, at)}${summary[at] === 'A' ? 'B' : 'A'}${summary.slice(at + 1)}`
    const report = await stranger().verifications.create({ summary: altered })
    expect(report).toMatchObject({ verdict: 'refused', payload: null, scope: null })
  })

  test('was judged by a protocol that anybody can read, whose digest it states', async () => {
    const { protocolDigest } = await import('@fairpull/sdk/verify')
    const { scope, payload } = await stranger().verifications.create({ summary })
    expect(scope).not.toBeNull()
    const reference = payload?.result.protocol
    const protocol = await stranger().protocols.get(reference?.id ?? '')
    expect(await protocolDigest(protocol)).toBe(reference?.digest)
    expect((await stranger().protocols.list()).items.map(({ id }) => id)).toContain(protocol.id)
    for (const { basis } of protocol.checks) expect(basis).not.toBe('')
  })
})
