import { describe, expect, test } from 'vitest'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { createTestApp, type TestApp } from '../support/test-app.ts'

const comparison = comparisonExamples.publishedFigures

async function summaryOf(app: TestApp): Promise<string> {
  const response = await app.request('/v1/assessments', {
    method: 'POST',
    headers: { authorization: `Bearer ${app.key}`, 'content-type': 'application/json' },
    body: JSON.stringify(comparison),
  })
  return (await response.json()).summary
}

async function reportOf(app: TestApp, body: unknown) {
  const response = await app.request('/v1/verifications', {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  })
  expect(response.status).toBe(200)
  return response.json()
}

describe('verifying a summary', () => {
  test('says that one of this service is verified, to whoever asks', async () => {
    const app = await createTestApp()
    const report = await reportOf(app, { summary: await summaryOf(app) })
    expect(report).toMatchObject({ verdict: 'verified', integrity: 'intact', recomputed: { answer: 'not-asked' } })
    expect(report.key.status).toBe('trusted')
  })

  test('computes the numbers again from the comparison', async () => {
    const app = await createTestApp()
    const report = await reportOf(app, { summary: await summaryOf(app), comparison })
    expect(report.recomputed.answer).toBe('identical')
  })

  test('does not compute from another comparison, and accuses nobody', async () => {
    const app = await createTestApp()
    const report = await reportOf(app, { summary: await summaryOf(app), comparison: { ...comparison, claims: [] } })
    expect(report).toMatchObject({ verdict: 'verified', recomputed: { answer: 'other-inputs' } })
  })

  test('answers 200 with a report that refuses an altered one, and shows no payload', async () => {
    const app = await createTestApp()
    const [header, payload, signature = ''] = (await summaryOf(app)).split('.')
    const altered = [header, payload, `${signature.startsWith('A') ? 'B' : 'A'}${signature.slice(1)}`].join('.')
    const report = await reportOf(app, { summary: altered })
    expect(report).toMatchObject({
      verdict: 'refused',
      failure: { code: 'ERR_SIGNATURE_BROKEN' },
      payload: null,
      scope: null,
    })
  })

  test('answers 200 with a report for text that is no summary', async () => {
    const app = await createTestApp()
    expect(await reportOf(app, { summary: '' })).toMatchObject({ verdict: 'refused' })
  })
})
