import { readFileSync } from 'node:fs'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { describe, expect, test } from 'vitest'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { operations } from '../../packages/service/src/http/operations.ts'
import { allScopes, type Scope } from '../../packages/service/src/http/scope.ts'
import { examplePlan } from '../support/example-plan.ts'
import { createTestApp, documentOfSources, type TestApp } from '../support/test-app.ts'

describe('the OpenAPI document', () => {
  test('holds every operation of the router, and no other', () => {
    const documented = Object.entries(documentOfSources.paths ?? {}).flatMap(([address, item]) =>
      Object.keys(item).map((method) => `${method} ${address}`),
    )
    expect(documented.sort()).toEqual(operations.map(({ method, address }) => `${method} ${address}`).sort())
    expect(new Set(operations.map(({ id }) => id)).size).toBe(operations.length)
  })

  test('is the committed one', () => {
    const committed = readFileSync(new URL('../../schemas/openapi.json', import.meta.url), 'utf8')
    expect(committed).toBe(`${JSON.stringify(documentOfSources, null, 2)}\n`)
  })

  test('is served as it is', async () => {
    const app = await createTestApp()
    expect(await (await app.request('/openapi.json')).json()).toEqual(documentOfSources)
  })

  test('refers only to schemas that it has, and each of them is sound', () => {
    const text = JSON.stringify(documentOfSources)
    const names = Object.keys(documentOfSources.components?.schemas ?? {})
    for (const [, name] of text.matchAll(/"#\/components\/schemas\/(\w+)"/g)) expect(names).toContain(name)
    const ajv = new Ajv2020({ strict: false, validateFormats: false })
    ajv.addSchema({ $id: 'urn:fairpull:sound', ...documentOfSources })
    for (const name of names) ajv.compile({ $ref: `urn:fairpull:sound#/components/schemas/${name}` })
  })

  test('explains every operation, parameter and schema', () => {
    for (const { summary, description } of operations) expect([summary, description].every(Boolean)).toBe(true)
    for (const [name, schema] of Object.entries(documentOfSources.components?.schemas ?? {})) {
      expect(schema.description, name).toBeTruthy()
    }
  })

  test('has examples that the service takes as they stand', async () => {
    const app = await createTestApp()
    const sent: string[] = []
    for (const { id, method, address, body, eachLine } of operations) {
      for (const [name, example] of Object.entries(body?.examples ?? {})) {
        const isOfPlan = address.startsWith('/v1/plans/')
        const plan = isOfPlan ? await examplePlan(app, id === 'assessPlan') : await exampleSummary(app, id)
        const response = await app.request(address.replace('{id}', plan), {
          method: method.toUpperCase(),
          headers: { authorization: `Bearer ${app.key}`, 'content-type': typeOf(eachLine) },
          body: JSON.stringify(example),
        })
        expect(response.ok, `${id} ${name}`).toBe(true)
        sent.push(`${id} ${name}`)
      }
    }
    expect(sent.length).toBeGreaterThanOrEqual(operations.filter(({ body }) => body !== null).length)
  })
})

/** A summary of its own, so that what one example withdraws is not missing for the next. */
async function exampleSummary(app: TestApp, operation: string): Promise<string> {
  const response = await app.request('/v1/assessments', {
    method: 'POST',
    headers: { authorization: `Bearer ${app.key}`, 'content-type': 'application/json' },
    body: JSON.stringify({ ...comparisonExamples.publishedFigures, changes: [{ what: operation, role: 'other' }] }),
  })
  return response.ok ? (await response.json()).id : ''
}

const SOME_ID = '01890000-0000-7000-8000-000000000001'

/** The media type of a body. */
function typeOf(eachLine: string | undefined): string {
  return eachLine === undefined ? 'application/json' : 'application/x-ndjson'
}

/** Of every operation: an address at which there is something, and the scope it takes; null for anybody. */
const authorisation: Readonly<Record<string, readonly [address: string, opens: Scope | null]>> = {
  createAssessment: ['/v1/assessments', 'assessments:write'],
  listAssessments: ['/v1/assessments', 'assessments:read'],
  createBatch: ['/v1/batches', 'assessments:write'],
  getAssessment: ['/v1/assessments/01890000-0000-7000-8000-000000000001', 'assessments:read'],
  publishAssessment: [`/v1/assessments/${SOME_ID}/publication`, 'summaries:publish'],
  withdrawSummary: [`/v1/summaries/${SOME_ID}/withdrawal`, 'summaries:publish'],
  getSummary: [`/v1/summaries/${SOME_ID}`, null],
  getSummaryStatus: [`/v1/summaries/${SOME_ID}/status`, null],
  getSummaryRuns: [`/v1/summaries/${SOME_ID}/runs`, null],
  getSummaryChart: [`/v1/summaries/${SOME_ID}/chart.svg`, null],
  getSummaryReport: [`/v1/summaries/${SOME_ID}/report.html`, null],
  getSummaryBadge: [`/v1/summaries/${SOME_ID}/badge.svg`, null],
  createPlan: ['/v1/plans', 'assessments:write'],
  listPlans: ['/v1/plans', 'assessments:read'],
  getPlan: [`/v1/plans/${SOME_ID}`, 'assessments:read'],
  amendPlan: [`/v1/plans/${SOME_ID}/amendments`, 'assessments:write'],
  addPlanRun: [`/v1/plans/${SOME_ID}/runs`, 'assessments:write'],
  closePlan: [`/v1/plans/${SOME_ID}/closure`, 'assessments:write'],
  abandonPlan: [`/v1/plans/${SOME_ID}/abandonment`, 'assessments:write'],
  withdrawPlan: [`/v1/plans/${SOME_ID}/withdrawal`, 'assessments:write'],
  assessPlan: [`/v1/plans/${SOME_ID}/assessment`, 'assessments:write'],
  getPlanComparison: [`/v1/plans/${SOME_ID}/comparison`, 'assessments:read'],
  getPlanCounters: ['/v1/plan-counters?publisher=A&product=B', null],
  createStudy: ['/v1/studies', 'assessments:write'],
  listStudies: ['/v1/studies', 'assessments:read'],
  getStudy: [`/v1/studies/${SOME_ID}`, 'assessments:read'],
  getStudyCharts: ['/v1/study-charts?facility=A', 'assessments:read'],
  getAssessmentChart: ['/v1/assessments/01890000-0000-7000-8000-000000000001/chart.svg', 'assessments:read'],
  getAssessmentReport: ['/v1/assessments/01890000-0000-7000-8000-000000000001/report.html', 'assessments:read'],
  getAssessmentBadge: ['/v1/assessments/01890000-0000-7000-8000-000000000001/badge.svg', 'assessments:read'],
  createRunCheck: ['/v1/run-checks', 'assessments:write'],
  createSampleSize: ['/v1/sample-sizes', 'assessments:write'],
  createVerification: ['/v1/verifications', null],
  getVerifierPage: ['/verify', null],
  listProtocols: ['/v1/protocols', null],
  getProtocol: ['/v1/protocols/motorcycle-rollers@1', null],
  getKeys: ['/.well-known/jwks.json', null],
  getOpenApi: ['/openapi.json', null],
  getDocs: ['/docs', null],
  getProblemType: ['/problems/not-found', null],
  getTrust: ['/trust.json', null],
  getLogCheckpoint: ['/log/checkpoint', null],
  getLogTile: ['/log/tile/0/000.p/1', null],
  getLiveness: ['/livez', null],
  getReadiness: ['/readyz', null],
  getMetrics: ['/metrics', 'metrics:read'],
}

/** Every operation, asked without a key, with a key that permits nothing, and with a key of each scope alone. */
describe('the authorisation matrix', () => {
  test('has a row for every operation, and no other', () => {
    expect(Object.keys(authorisation).sort()).toEqual(operations.map(({ id }) => id).sort())
  })

  test.each(operations.map((operation) => [operation.id, operation] as const))(
    '%s',
    async (id, { method, body, eachLine }) => {
      const [address, opens] = authorisation[id] ?? ['', null]
      const app = await createTestApp()
      const ask = async (key: string | null) => {
        const [example] = Object.values(body?.examples ?? {})
        const { status } = await app.request(address, {
          method: method.toUpperCase(),
          headers: { ...(key === null ? {} : { authorization: `Bearer ${key}` }), 'content-type': typeOf(eachLine) },
          ...(body === null ? {} : { body: JSON.stringify(example) }),
        })
        return status !== 401 && status !== 403
      }
      expect(await ask(null), 'no key').toBe(opens === null)
      app.admit('fp_row', { scopes: [] })
      expect(await ask('fp_row'), 'no scope').toBe(opens === null)
      for (const scope of allScopes) {
        app.admit('fp_row', { scopes: [scope] })
        expect(await ask('fp_row'), scope).toBe(opens === null || opens === scope)
      }
    },
  )
})
