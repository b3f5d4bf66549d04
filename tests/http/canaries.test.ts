/** Nothing private is in any public byte: every operation that asks for no key is asked, and what it answers is searched. */
import { expect, test } from 'vitest'
import type { Comparison } from '../../packages/sdk/src/contract/index.ts'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { operations } from '../../packages/service/src/http/operations.ts'
import { studyExamples } from '../../packages/service/src/http/study-examples.ts'
import { examplePlan } from '../support/example-plan.ts'
import { createTestApp } from '../support/test-app.ts'

const CANARY = 'CANARY7f3a'
const named = (what: string) => `${CANARY}-${what}`

/** A comparison with a canary in everything that its owner writes in words. */
const comparison: Comparison = {
  ...comparisonExamples.publishedFigures,
  facility: { id: named('facility'), rollers: [{ id: named('rollers'), kind: 'inertia' }] },
  vehicles: [{ id: named('vehicle'), label: named('label') }],
  changes: [{ what: named('change'), role: 'under-test' }],
  runs: comparisonExamples.publishedFigures.runs.map((run) => ({ ...run, id: named(run.id) })),
}

test('a private summary, a plan, a study and the keys of a tenant leave no trace in any public answer', async () => {
  const app = await createTestApp()
  const key = named('api-key')
  app.admit(key, { tenant: 'tenant-a', organisation: named('organisation') })
  const headers = {
    authorization: `Bearer ${key}`,
    'content-type': 'application/json',
    'idempotency-key': named('idempotency'),
  }
  const response = await app.request('/v1/assessments', { method: 'POST', headers, body: JSON.stringify(comparison) })
  const { id } = await response.json()
  expect(response.status).toBe(201)
  const plan = await examplePlan({ ...app, key }, true)
  const scope = { machine: named('machine'), strapping: named('strapping'), class: named('class') }
  const study = { ...studyExamples.beginning, name: named('study'), appliesTo: scope }
  const kept = await app.request('/v1/studies', {
    method: 'POST',
    headers: { ...headers, 'idempotency-key': named('another') },
    body: JSON.stringify(study),
  })
  expect(kept.status).toBe(201)
  await app.request(`/v1/summaries/${id}/withdrawal`, {
    method: 'POST',
    headers,
    body: JSON.stringify({ reason: named('reason') }),
  })
  expect(app.entries.length).toBeGreaterThanOrEqual(3)

  const asked: string[] = []
  for (const { scope, method, address } of operations) {
    if (scope !== null || method !== 'get') continue
    for (const path of filled(address, [id, plan])) {
      const answer = await app.request(path)
      const bytes = Buffer.from(await answer.arrayBuffer()).toString('latin1')
      const head = JSON.stringify([...answer.headers])
      expect(`${head}${bytes}`.includes(CANARY), path).toBe(false)
      asked.push(path)
    }
  }
  expect(asked.length).toBeGreaterThan(15)
  const log = Buffer.concat(app.entries.map((entry) => Buffer.from(entry))).toString('latin1')
  expect(log).not.toContain(CANARY)
  expect(log).not.toContain(id)
})

test('a summary published without its runs shows what was signed, and nothing of the comparison beside it', async () => {
  const app = await createTestApp()
  const headers = { authorization: `Bearer ${app.key}`, 'content-type': 'application/json' }
  const post = (path: string, body: unknown) =>
    app.request(path, { method: 'POST', headers, body: JSON.stringify(body) })
  const { id, payload } = await (await post('/v1/assessments', comparison)).json()
  await post(`/v1/assessments/${id}/publication`, { runs: false })
  const signed = JSON.stringify(payload)
  for (const path of ['', '/status', '/report.html', '/badge.svg', '/chart.svg', '/runs']) {
    const text = await (await app.request(`/v1/summaries/${id}${path}`)).text()
    const shown = text.match(new RegExp(`${CANARY}-[a-z-]+`, 'g')) ?? []
    expect(
      shown.filter((canary) => !signed.includes(canary)),
      path,
    ).toEqual([])
  }
})

/** Addresses with what their parameters may name, the guessed tiles among them. */
function filled(address: string, ids: readonly string[]): readonly string[] {
  if (address.endsWith('{tile}')) {
    return ['entries/000.p/1', 'entries/000.p/3', '0/000.p/3'].map((tile) => address.replace('{tile}', tile))
  }
  if (address === '/v1/plan-counters') return [`${address}?publisher=A&product=B`]
  return address.includes('{') ? ids.map((id) => address.replaceAll(/\{\w+\}/g, id)) : [address]
}
