/** Requests that nobody thought of: every one gets an answer that the document has, and none a failure of the service. */
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { operations } from '../../packages/service/src/http/operations.ts'
import { createTestApp, type TestApp } from '../support/test-app.ts'

const example = JSON.stringify(comparisonExamples.publishedFigures)

/** A word that stands for something in the service, or anything. */
const word = fc.oneof(
  fc.constantFrom(
    'motorcycle-rollers@1',
    '01890000-0000-7000-8000-000000000001',
    'not-found',
    '__proto__',
    'constructor',
  ),
  fc.constantFrom('..', '.', '%00', '%2e%2e', '%ff', 'x'.repeat(3000), ''),
  fc.string({ unit: 'binary', maxLength: 20 }).map(encodeURIComponentOrNothing),
)

const path = fc.oneof(
  // The main job is one address among many; without this line hardly any request would get as far as an assessment.
  { weight: 1, arbitrary: fc.constant('/v1/assessments') },
  { weight: 4, arbitrary: fc.constantFrom(...operations).chain(({ address }) => filled(address)) },
  { weight: 1, arbitrary: fc.constantFrom('/v1/assessments', '/v1/batches') },
  { weight: 1, arbitrary: fc.array(word, { maxLength: 4 }).map((words) => `/${words.join('/')}`) },
)

const anyQuery = fc
  .array(
    fc.tuple(
      fc.constantFrom('dryRun', 'limit', 'cursor', 'x', '__proto__'),
      fc.oneof(word, fc.constantFrom('true', '5')),
    ),
    {
      maxLength: 3,
    },
  )
  .map((pairs) => pairs.map(([name, value]) => `${name}=${value}`).join('&'))

const query = fc.oneof({ weight: 2, arbitrary: fc.constant('') }, { weight: 1, arbitrary: anyQuery })

/** The example with a few of its characters replaced, removed, doubled or swapped with others. */
const damaged = fc
  .array(
    fc.tuple(
      fc.nat(example.length - 1),
      fc.constantFrom('', '"', '{', ']', ',', '-0', '1e999', '\\u0000', 'null', 'é'),
    ),
    {
      maxLength: 4,
    },
  )
  .map((changes) => changes.reduce((text, [at, put]) => text.slice(0, at) + put + text.slice(at + 1), example))

const body = fc.oneof(
  damaged,
  fc.json(),
  fc.constant(example),
  fc.uint8Array({ maxLength: 200 }).map((bytes) => Uint8Array.from(bytes)),
  fc.json().map((value) => `{"summary":${value},"comparison":${example}}`),
)

const headers = fc.record(
  {
    authorization: fc.constantFrom('Bearer fp_test', 'Bearer fp_none', 'Bearer', 'fp_test', 'Bearer fp_test'),
    'content-type': fc.constantFrom(
      'application/json',
      'application/json; charset=utf-8',
      'application/json',
      'application/x-ndjson',
      'text/html',
      ';',
      'application/json',
    ),
    'idempotency-key': fc.constantFrom('one', 'two', 'x y', 'k'.repeat(300)),
    'if-none-match': fc.constantFrom('*', '"a"', 'W/"b", "c"', ',,,'),
    'content-encoding': fc.constantFrom('gzip', 'identity'),
    'content-length': fc.constantFrom('0', '-1', '1e9', '99999999', 'abc'),
    'x-request-id': fc.constantFrom('a-good-request-id', 'no', '{}'),
    accept: fc.constantFrom('text/html', '*/*', ''),
  },
  { requiredKeys: ['authorization', 'content-type'] },
)

const request = fc.record({
  path,
  query,
  method: fc.constantFrom('GET', 'POST', 'POST', 'POST', 'HEAD', 'PUT', 'PATCH', 'DELETE', 'OPTIONS', 'PURGE'),
  headers,
  body,
})

function filled(address: string): fc.Arbitrary<string> {
  return word.map((each) => address.replaceAll(/\{\w+\}/g, each))
}

/** Half a surrogate pair has no UTF-8; the bytes that stand in for it are none either. */
function encodeURIComponentOrNothing(text: string): string {
  try {
    return encodeURIComponent(text)
  } catch {
    return '%ED%A0%80'
  }
}

async function answer(app: TestApp, sent: typeof request extends fc.Arbitrary<infer Sent> ? Sent : never) {
  const address = `${sent.path}${sent.query === '' ? '' : `?${sent.query}`}`
  const withBody = sent.method !== 'GET' && sent.method !== 'HEAD'
  const init: RequestInit = {
    method: sent.method,
    headers: sent.headers as Record<string, string>,
    ...(withBody ? { body: sent.body } : {}),
  }
  return app.request(address, init)
}

test('5,000 requests: no failure, no trace of the inside, no answer outside the document', async () => {
  const app = await createTestApp()
  const statuses = new Map<number, number>()
  await fc.assert(
    fc.asyncProperty(request, async (sent) => {
      const response = await answer(app, sent)
      statuses.set(response.status, (statuses.get(response.status) ?? 0) + 1)
      expect(response.status).toBeLessThan(500)
      expect(await response.text()).not.toMatch(/node_modules|\.ts:\d|\.js:\d|at async/)
      expect(response.headers.get('x-request-id')).toMatch(/^[A-Za-z0-9._-]{8,100}$/)
    }),
    { numRuns: Number(process.env.FUZZ_RUNS ?? 5000), seed: 20260502 },
  )
  expect(app.log.filter(({ event }) => event === 'failure')).toEqual([])
  for (const status of [200, 201, 400, 401, 404, 405, 413, 415, 422])
    expect(statuses.get(status) ?? 0, `${status}`).toBeGreaterThan(0)
}, 600_000)
