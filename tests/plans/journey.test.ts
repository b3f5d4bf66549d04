/** A plan from registration to a summary that anybody can compute again. */
import type { Comparison, Finding, IssuedSummary, PlanRecord } from '@fairpull/sdk/contract'
import { assess } from '@fairpull/sdk/engine'
import { simulateSession } from '@fairpull/sdk/testing'
import { importPublicKey, planLogEntry, planRunLogEntry, verifyReceipt, verifySummary } from '@fairpull/sdk/verify'
import { beforeAll, describe, expect, test } from 'vitest'
import { bandMeanClaim, percent } from '../calibration/claims.ts'
import { createRegister, type Played, play, type Register } from './support/play.ts'

const session = simulateSession({
  seed: 11,
  design: 'ABA',
  runsPerBlock: 3,
  gain: { shape: 'uniform', percent: 4 },
  claims: [bandMeanClaim('power', percent(2)), bandMeanClaim('more', percent(1))],
  channels: 'power-only',
})

let register: Register
let played: Played
let summary: IssuedSummary
let comparison: Comparison

beforeAll(async () => {
  const record = session.comparison.facility?.record
  register = await createRegister(record?.study === undefined ? {} : { [record.study]: record })
  played = await play(register, session.comparison, { exploratory: [bandMeanClaim('found later', percent(3))] })
  if (played.summary === undefined) throw new Error('no summary')
  summary = played.summary
  const path = `/v1/plans/${played.plan.id}/comparison`
  comparison = (await register.send<Comparison>('GET', path)).body
})

const finding = (name: string): Finding | undefined =>
  summary.payload.result.findings.find(({ check }) => check === name)

describe('a session made as planned', () => {
  test('is numbered without a gap, and closed by its last planned run', async () => {
    expect(played.runs.map(({ status }) => status)).toEqual(session.comparison.runs.map(() => 201))
    expect(played.runs.map(({ body }) => body.number)).toEqual(session.comparison.runs.map((_, index) => index + 1))
    expect(played.runs.at(-1)?.body).toMatchObject({ status: 'closed', remaining: 0 })
    expect(played.runs.at(-2)?.body).toMatchObject({ status: 'running', remaining: 1 })
  })

  test('gets the words "supported, pre-registered", with the receipts in the issue', () => {
    const { issue, result } = summary.payload
    expect(issue.registration).toBe('pre-registered')
    expect(issue.receipts).toEqual(played.runs.map(({ body }) => body.receipt))
    expect(finding('planned-before')).toMatchObject({ status: 'met' })
    expect(result.claims[0]).toMatchObject({ claim: 'power', judgement: 'supported' })
    expect(result.claims[0]?.sentence).toMatch(/^Supported, pre-registered: /)
    expect(result.plan?.rules.filter(({ kept }) => !kept)).toEqual([])
    expect(result.plan?.sentence).toMatch(/^Pre-registered: .* It is the only plan for this product and machine\./)
  })

  test('a claim that was not registered is exploratory, whatever its p', () => {
    const found = summary.payload.result.claims[2]
    expect(found).toMatchObject({ claim: 'found later', judgement: 'undecided' })
    expect(found?.reason).toContain('exploratory')
    expect(found?.supportP).toBeLessThan(1)
  })

  test('comes out again from the comparison alone, byte for byte', async () => {
    const report = await verifySummary(summary.summary, { comparison, recompute: assess, keys: await keys() })
    expect(report.recomputed.answer).toBe('identical')
    expect(report.failure).toBeNull()
  })

  test('is shown by the log to have had its plan before every run', async () => {
    const { summary: signed, log } = summary
    const { body } = await register.send('POST', '/v1/verifications', { summary: signed, comparison, log })
    expect(body).toMatchObject({
      verdict: 'verified',
      registration: { stated: 'pre-registered', planFirst: 'yes' },
      recomputed: { answer: 'identical' },
    })
  })

  test('leaves in the log what plan and receipts say, and nothing that can be guessed', async () => {
    const { plan } = comparison
    if (plan === undefined) throw new Error('no plan')
    const { entries } = register.app
    const first = await planLogEntry({ plan: plan.id, version: 1, reason: null, terms: plan.terms }, plan.salt)
    expect(Buffer.from(entries[plan.logIndex] ?? [])).toEqual(Buffer.from(first))
    for (const { body } of played.runs) {
      const { number, digest, mounting, logIndex } = body.payload
      const entry = await planRunLogEntry({ plan: plan.id, number, digest, mounting }, plan.salt)
      expect(Buffer.from(entries[logIndex] ?? [])).toEqual(Buffer.from(entry))
    }
    const other = await planLogEntry({ plan: plan.id, version: 1, reason: null, terms: plan.terms }, 'f'.repeat(64))
    expect(Buffer.from(other)).not.toEqual(Buffer.from(first))
  })

  test('has receipts that the service signed, each of its own run', async () => {
    for (const { body } of played.runs) {
      const receipt = await verifyReceipt(body.receipt, await keys())
      expect(receipt).toMatchObject({ ok: true, value: { receipt: body.payload } })
    }
    const [one, two] = played.runs
    const [header, , signature] = one?.body.receipt.split('.') ?? []
    const forged = [header, two?.body.receipt.split('.')[1], signature].join('.')
    expect(await verifyReceipt(forged, await keys())).toMatchObject({
      ok: false,
      problem: { code: 'ERR_RECEIPT_SIGNATURE' },
    })
    expect(await verifyReceipt(summary.summary, await keys())).toMatchObject({
      ok: false,
      problem: { code: 'ERR_RECEIPT_FORM' },
    })
  })

  test('is assessed once: asked again, it answers the same summary', async () => {
    const again = await register.send<IssuedSummary>('POST', `/v1/plans/${played.plan.id}/assessment`, {})
    expect(again.headers.get('idempotency-replayed')).toBe('true')
    expect(again.body).toEqual(summary)
    const record = await register.send<PlanRecord>('GET', `/v1/plans/${played.plan.id}`)
    expect(record.body).toMatchObject({ status: 'assessed', assessment: summary.id, registration: 'pre-registered' })
  })

  test('cannot be claimed by whoever submits a comparison with a plan written into it', async () => {
    const refused = await register.send('POST', '/v1/assessments', comparison)
    expect(refused.status).toBe(422)
    expect(refused.body).toMatchObject({ errors: [{ pointer: '/plan', code: 'ERR_PLAN_NOT_HERE' }] })
    const { plan: _, ...bare } = comparison
    const unplanned = await register.send<IssuedSummary>('POST', '/v1/assessments', bare)
    expect(unplanned.status).toBe(201)
    const { issue, result } = unplanned.body.payload
    expect(issue).toMatchObject({ registration: 'none', receipts: [] })
    expect(result.claims[0]?.sentence).toMatch(/^Supported, not pre-registered: /)
    expect(result.plan).toBeUndefined()
  })
})

async function keys() {
  const { body } = await register.send<{ keys: readonly unknown[] }>('GET', '/.well-known/jwks.json')
  const key = await importPublicKey(body.keys[0])
  if (!key.ok) throw new Error(key.problem.detail)
  return [key.value]
}
