/** A vendor: does my test hold up, what do I redo, and what may I publish? */
import type { TrustBundle } from '@fairpull/sdk/verify'
import { readTrust, verifySummary } from '@fairpull/sdk/verify'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { demoComparison } from '../../packages/service/demo/scenario/index.ts'
import { type Journey, startJourney } from '../support/journey.ts'

let journey: Journey

beforeAll(async () => {
  journey = await startJourney({ FAIRPULL_ISSUER: 'Bench register' })
})

afterAll(() => journey.end())

/** What a vendor writes down once, by hand: this key, for this issuer. */
async function trustBundle(): Promise<TrustBundle> {
  const { keys } = await journey.client().keys.jwks()
  return { keys: keys.map((jwk) => ({ jwk, issuer: 'Bench register', notBefore: '2020-01-01T00:00:00Z' })) }
}

describe('a part that was tested well', () => {
  const comparison = demoComparison('air-filter', 1)

  test('is looked at first without leaving a trace', async () => {
    const preview = await journey.client().assessments.create(comparison, { dryRun: true })
    expect(preview.result.standing).toBe('valid')
    for await (const { id } of journey.client().assessments.list()) expect(id).toBeUndefined()
  })

  test('gets a signed summary whose claims are judged one by one', async () => {
    const fairpull = journey.client({ trust: await trustBundle() })
    const { result, payload, report } = await fairpull.assessments.create(comparison)
    expect(report.verdict).toBe('verified')
    expect(result.standing).toBe('valid')
    expect(result.claims.map(({ claim, judgement }) => [claim, judgement])).toEqual([
      ['modest', 'supported'],
      ['bold', 'contradicted'],
    ])
    expect(payload.issue).toMatchObject({ issuer: 'Bench register', submitter: 'Workshop A', registration: 'none' })
  })

  test('can be read again later, and found in the list', async () => {
    const fairpull = journey.client({ trust: await trustBundle() })
    const created = await fairpull.assessments.create(comparison)
    const read = await fairpull.assessments.get(created.id)
    expect(read.summary).toBe(created.summary)
    const entries: string[] = []
    for await (const { id } of fairpull.assessments.list({ limit: 1 })) entries.push(id)
    expect(entries[0]).toBe(created.id)
    expect(new Set(entries).size).toBe(entries.length)
  })

  test('is verified by anybody offline, and an altered copy is refused', async () => {
    const { summary } = await journey.client().assessments.create(comparison)
    const trust = await readTrust(await trustBundle())
    if (!trust.ok) throw new Error(trust.problem.detail)
    expect((await verifySummary(summary, { trust: trust.value, comparison })).recomputed.answer).toBe('inputs-match')

    const [header = '', payload = '', signature = ''] = summary.split('.')
    const better = Buffer.from(payload, 'base64url').toString().replace('contradicted', 'supported')
    const altered = [header, Buffer.from(better).toString('base64url'), signature].join('.')
    const report = await verifySummary(altered, { trust: trust.value })
    expect(report).toMatchObject({ verdict: 'refused', failure: { code: 'ERR_SIGNATURE_BROKEN' }, payload: null })
  })
})

describe('a part that was fitted off the rollers', () => {
  test('holds within a stated scope: a gain in the mid-range, and a loss at the top', async () => {
    const { result } = await journey.client().assessments.create(demoComparison('intake-trumpets', 1))
    expect(result.standing).toBe('limited')
    expect(result.scope.length).toBeGreaterThan(0)
    expect(result.claims.map(({ claim, judgement }) => [claim, judgement])).toEqual([
      ['mid-range', 'supported'],
      ['no-price-at-the-top', 'contradicted'],
    ])
  })
})

describe('a part that was tested badly', () => {
  test('is answered all the same: signed, `invalid`, with what is wrong and what to do', async () => {
    const { result, report } = await journey.client().assessments.create(demoComparison('silencer', 1))
    expect(report.integrity).toBe('intact')
    expect(result.standing).toBe('invalid')
    expect(result.score).toBe(0)
    expect(result.claims.map(({ judgement }) => judgement)).toEqual(['not-assessable'])
    const breached = result.findings.filter(({ status }) => status === 'breached').map(({ check }) => check)
    expect(breached).toEqual(expect.arrayContaining(['gear-matched', 'tyre-pressure-matched']))
    for (const { status, remedy } of result.findings) if (status === 'breached') expect(remedy).not.toBe('')
    expect(result.nextSteps.length).toBeGreaterThan(0)
  })
})
