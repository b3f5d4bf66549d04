/** Who changed what: every operation that changes state leaves exactly one row in the audit table, and no secret in it. */
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { comparisonExamples, runCheckExamples, sampleSizeExamples } from '../../packages/service/src/http/examples.ts'
import { operations } from '../../packages/service/src/http/operations.ts'
import { amendmentExample, planExamples, planRunExample } from '../../packages/service/src/http/plan-examples.ts'
import { studyExamples } from '../../packages/service/src/http/study-examples.ts'
import type { AuditEvent } from '../../packages/service/src/store/audit-schema.ts'
import { type Database, openDatabase } from '../../packages/service/src/store/database.ts'
import { type EmbeddedPostgres, startEmbeddedPostgres } from '../../packages/service/src/store/embedded-postgres.ts'
import { type DataFolder, temporaryDataFolder } from '../faults/support/data-folder.ts'
import { type ServiceProcess, startProcess } from '../support/service-process.ts'

let folder: DataFolder
let database: EmbeddedPostgres
let service: ServiceProcess
let db: Database
let apiKey = ''
const secrets: string[] = []

beforeAll(async () => {
  folder = await temporaryDataFolder()
  database = await startEmbeddedPostgres({ dataFolder: folder.path, notify: () => undefined, onLost: () => undefined })
  const { user, password, host, database: name } = database.connection
  const url = `postgresql://${user}:${password}@${encodeURIComponent(host ?? '')}/${name}`
  const data = join(folder.path, 'service')
  mkdirSync(data)
  const environment = { DATABASE_URL: url, FAIRPULL_RATE_LIMIT: '0' }
  const first = await startProcess(data, environment)
  apiKey = first.firstApiKey ?? ''
  await first.end('SIGTERM')
  service = await startProcess(data, environment)
  db = openDatabase(database.connection, () => undefined)
  secrets.push(apiKey, apiKey.split('_')[2] ?? '', String(password))
}, 120_000)

afterAll(async () => {
  await db?.destroy()
  await service?.end('SIGTERM')
  await database?.stop()
  await folder.remove()
})

const rows = () => db.selectFrom('audit').selectAll().orderBy('at').execute()

interface Sent {
  readonly status: number
  readonly body: { readonly id: string; readonly challenge?: string; readonly salt?: string }
}

async function send(path: string, body: unknown, type = 'application/json'): Promise<Sent> {
  const response = await fetch(`${service.url}${path}`, {
    method: 'POST',
    headers: { authorization: `Bearer ${apiKey}`, ...(body === undefined ? {} : { 'content-type': type }) },
    ...(body === undefined ? {} : { body: typeof body === 'string' ? body : JSON.stringify(body) }),
  })
  const text = await response.text()
  const answer = JSON.parse(text.split('\n')[0] ?? '')
  for (const secret of [answer.challenge, answer.salt]) if (secret !== undefined) secrets.push(secret)
  return { status: response.status, body: answer }
}

const REASON = 'The baseline was measured with a torn intake hose.'
const { publishedFigures } = comparisonExamples
const changed = (what: string) => ({ ...publishedFigures, changes: [{ what, role: 'under-test' }] })

const issued = async (what: string) => (await send('/v1/assessments', changed(what))).body.id

async function planWith(runs: 0 | 1): Promise<{ readonly id: string; readonly challenge: string }> {
  const { id, challenge = '' } = (await send('/v1/plans', planExamples.baselineModifiedBaseline)).body
  if (runs === 1) await send(`/v1/plans/${id}/runs`, { ...planRunExample, challenge })
  return { id, challenge }
}

/** A measured run, since a plan without one cannot be judged. */
const measured = {
  ...planRunExample.run,
  id: 'r1',
  purpose: 'measured',
  counter: 213,
  reported: publishedFigures.runs[0]?.reported,
}

async function closedPlan(): Promise<string> {
  const { id, challenge } = await planWith(1)
  await send(`/v1/plans/${id}/runs`, { challenge, run: measured })
  await send(`/v1/plans/${id}/closure`, undefined)
  return id
}

/** What is there beforehand, and the request whose row is looked at; null for an operation that changes nothing. */
interface Change {
  readonly event: AuditEvent | null
  /** Makes what the request needs. */
  readonly request: () => Promise<readonly [path: string, body: unknown, type?: string]>
  /** Rows that the same request leaves when it is sent again; none where it is one effect. */
  readonly again?: 1
}

const changes: Readonly<Record<string, Change>> = {
  createAssessment: { event: 'assessment-issued', request: async () => ['/v1/assessments', changed('one')], again: 1 },
  createBatch: {
    event: 'assessment-issued',
    request: async () => {
      const line = { key: 'two', comparison: changed('two') }
      return ['/v1/batches', `${JSON.stringify(line)}\n`, 'application/x-ndjson']
    },
  },
  publishAssessment: {
    event: 'assessment-published',
    request: async () => [`/v1/assessments/${await issued('three')}/publication`, { runs: false }],
  },
  withdrawSummary: {
    event: 'assessment-withdrawn',
    request: async () => [`/v1/summaries/${await issued('four')}/withdrawal`, { reason: REASON }],
  },
  createPlan: {
    event: 'plan-registered',
    request: async () => ['/v1/plans', planExamples.baselineModifiedBaseline],
    again: 1,
  },
  amendPlan: {
    event: 'plan-amended',
    request: async () => [`/v1/plans/${(await planWith(0)).id}/amendments`, amendmentExample],
  },
  addPlanRun: {
    event: 'plan-run-logged',
    request: async () => {
      const { id, challenge } = await planWith(0)
      return [`/v1/plans/${id}/runs`, { ...planRunExample, challenge }]
    },
  },
  closePlan: { event: 'plan-closed', request: async () => [`/v1/plans/${(await planWith(1)).id}/closure`, undefined] },
  abandonPlan: {
    event: 'plan-abandoned',
    request: async () => [`/v1/plans/${(await planWith(1)).id}/abandonment`, undefined],
  },
  withdrawPlan: {
    event: 'plan-withdrawn',
    request: async () => [`/v1/plans/${(await planWith(0)).id}/withdrawal`, undefined],
  },
  assessPlan: { event: 'assessment-issued', request: async () => [`/v1/plans/${await closedPlan()}/assessment`, {}] },
  createRunCheck: {
    event: null,
    request: async () => ['/v1/run-checks', runCheckExamples.coarseRun],
  },
  createSampleSize: { event: null, request: async () => ['/v1/sample-sizes', sampleSizeExamples.recordedRig] },
  createStudy: { event: 'study-registered', request: async () => ['/v1/studies', studyExamples.beginning], again: 1 },
  createVerification: { event: null, request: async () => ['/v1/verifications', { summary: 'not.a.summary' }] },
}

test('every operation that may change something is in the table', () => {
  const writing = operations.filter(({ method }) => method !== 'get').map(({ id }) => id)
  expect(Object.keys(changes).sort()).toEqual([...writing].sort())
})

test.each(Object.entries(changes))('%s leaves one row, or none where it changes nothing', async (_, change) => {
  const [path, body, type] = await change.request()
  const before = await rows()
  const { status } = await send(path, body, type)
  expect(status).toBeLessThan(300)
  const known = new Set(before.map(({ id }) => id))
  const added = (await rows()).filter(({ id }) => !known.has(id))
  expect(added.map(({ event }) => event)).toEqual(change.event === null ? [] : [change.event])

  expect((await send(path, body, type)).status).toBeLessThan(300)
  expect(await rows()).toHaveLength(before.length + added.length + (change.again ?? 0))
})

test('the trust list that the service works with has one row, however often it starts', async () => {
  const taken = (await rows()).filter(({ event }) => event === 'trust-list-taken')
  expect(taken).toHaveLength(1)
})

test('no row holds a secret, or words of whoever made the change', async () => {
  const text = JSON.stringify(await rows())
  expect(secrets.length).toBeGreaterThan(10)
  expect(secrets.filter((secret) => secret === '' || text.includes(secret))).toEqual([])
  expect(text).not.toContain(REASON)
  expect(text).not.toContain(amendmentExample.reason)
})
