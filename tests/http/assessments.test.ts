import { describe, expect, test } from 'vitest'
import { readKeySet, runDigest, verifySummary } from '../../packages/sdk/src/integrity/index.ts'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { plainResult } from '../support/plain-result.ts'
import { createTestApp, type TestApp } from '../support/test-app.ts'

const comparison = comparisonExamples.publishedFigures

function submission(app: TestApp, more: { readonly body?: unknown; readonly headers?: Record<string, string> } = {}) {
  return {
    method: 'POST',
    headers: { authorization: `Bearer ${app.key}`, 'content-type': 'application/json', ...more.headers },
    body: JSON.stringify(more.body ?? comparison),
  }
}

const reading = (key: string) => ({ headers: { authorization: `Bearer ${key}` } })

describe('submitting a comparison', () => {
  test('answers 201 with a summary that verifies against the published keys', async () => {
    const app = await createTestApp()
    const response = await app.request('/v1/assessments', submission(app))
    expect(response.status).toBe(201)
    const { id, summary, payload } = await response.json()
    expect(response.headers.get('location')).toBe(`/v1/assessments/${id}`)

    const keys = await readKeySet(await (await app.request('/.well-known/jwks.json')).json())
    const report = await verifySummary(summary, keys.ok ? { keys: keys.value, comparison } : {})
    expect(report.verdict).toBe('intact-key-unknown')
    expect(report.recomputed.answer).toBe('inputs-match')
    expect(report.payload).toEqual(payload)
  })

  test('names issuer, submitter and the time of signing, and states no plan', async () => {
    const app = await createTestApp()
    const { id, payload } = await (await app.request('/v1/assessments', submission(app))).json()
    expect(payload.issue).toEqual({
      id,
      issuer: 'Test service',
      submitter: 'Workshop A',
      issuedAt: '2026-05-02T09:30:00.000Z',
      supersedes: null,
      registration: 'none',
      receipts: [],
    })
  })

  test('signs a comparison that does not hold like any other', async () => {
    const app = await createTestApp()
    const { payload } = await (await app.request('/v1/assessments', submission(app))).json()
    expect(payload.result.standing).toBe('invalid')
  })

  test('is read again byte for byte under the same entity tag', async () => {
    const app = await createTestApp()
    const created = await app.request('/v1/assessments', submission(app))
    const read = await app.request(created.headers.get('location') ?? '', reading(app.key))
    expect(await read.text()).toBe(await created.text())
    expect(read.headers.get('etag')).toBe(created.headers.get('etag'))
  })

  test('keeps what was judged: its comparison, and each run under its digest, channels as base64', async () => {
    const app = await createTestApp()
    const channels = {
      engineSpeed: { unit: 'rpm', values: [3000, 4000, 5000] },
      wheelPower: { unit: 'kW', values: [20, 30.5, 40] },
    }
    const runs = [{ id: 'b1', side: 'baseline', purpose: 'measured', origin: 'recorded', channels }]
    await app.request('/v1/assessments', submission(app, { body: { protocol: comparison.protocol, runs } }))

    const [issuance] = app.store.issued
    const result = JSON.parse(Buffer.from(issuance?.assessment.payload ?? []).toString()).result
    expect(`sha256:${Buffer.from(issuance?.assessment.comparisonDigest ?? []).toString('hex')}`).toBe(
      result.inputs.comparison,
    )
    expect(JSON.parse(Buffer.from(issuance?.assessment.comparison ?? []).toString())).toEqual({
      protocol: comparison.protocol,
      runs: [result.inputs.runs[0].digest],
    })
    const stored = JSON.parse(Buffer.from(issuance?.runs[0]?.bytes ?? []).toString())
    expect(stored.channels.engineSpeed).toEqual({ unit: 'rpm', base64: 'AAAAAABwp0AAAAAAAECvQAAAAAAAiLNA' })
    expect(stored.id).toBe('b1')
    expect(await runDigest(stored)).toBe(result.inputs.runs[0].digest)
  })

  test('answers 422 and stores nothing under a protocol that the service does not have', async () => {
    const app = await createTestApp()
    const response = await app.request(
      '/v1/assessments',
      submission(app, { body: { ...comparison, protocol: 'toString' } }),
    )
    expect(response.status).toBe(422)
    expect((await response.json()).errors).toEqual([
      expect.objectContaining({ pointer: '/protocol', code: 'ERR_NOT_IN_LIST' }),
    ])
    expect(app.store.issued).toHaveLength(0)
  })

  test('answers 500 with a code alone, stores nothing and logs the reason, when the assessment fails', async () => {
    const app = await createTestApp({ assess: () => Promise.reject(new Error('the budget is empty')) })
    const response = await app.request('/v1/assessments', submission(app))
    expect(response.status).toBe(500)
    const text = await response.text()
    expect(JSON.parse(text).code).toBe('ERR_INTERNAL')
    expect(text).not.toContain('budget')
    expect(app.store.issued).toHaveLength(0)
    expect(app.log).toContainEqual(
      expect.objectContaining({
        event: 'failure',
        requestId: response.headers.get('x-request-id'),
        error: expect.objectContaining({ message: 'the budget is empty' }),
      }),
    )
  })
})

describe('a dry run', () => {
  test('answers the same result without a signature and stores nothing, whatever its Idempotency-Key', async () => {
    const app = await createTestApp()
    const response = await app.request(
      '/v1/assessments?dryRun=true',
      submission(app, { headers: { 'idempotency-key': 'k1' } }),
    )
    expect(response.status).toBe(200)
    expect(await response.json()).toEqual({ dryRun: true, result: await plainResult(comparison) })
    expect(app.store.issued).toHaveLength(0)
    expect(
      (await app.request('/v1/assessments', submission(app, { headers: { 'idempotency-key': 'k1' } }))).status,
    ).toBe(201)
  })

  test('is not what `dryRun=false` asks for', async () => {
    const app = await createTestApp()
    expect((await app.request('/v1/assessments?dryRun=false', submission(app))).status).toBe(201)
  })
})

describe('repeating a request under one Idempotency-Key', () => {
  const headers = { 'idempotency-key': 'a-key' }

  test('gives the first answer, byte for byte and marked, and has no further effect', async () => {
    const app = await createTestApp()
    const first = await app.request('/v1/assessments', submission(app, { headers }))
    const second = await app.request('/v1/assessments', submission(app, { headers }))
    expect(second.status).toBe(201)
    expect(await second.text()).toBe(await first.text())
    expect(second.headers.get('location')).toBe(first.headers.get('location'))
    expect(first.headers.get('idempotency-replayed')).toBeNull()
    expect(second.headers.get('idempotency-replayed')).toBe('true')
    expect(app.store.issued).toHaveLength(1)
  })

  test('has one effect when the repetitions arrive together', async () => {
    const app = await createTestApp()
    const all = await Promise.all(
      Array.from({ length: 20 }, () => app.request('/v1/assessments', submission(app, { headers }))),
    )
    expect(new Set(await Promise.all(all.map((each) => each.text()))).size).toBe(1)
    expect(all.filter((each) => each.headers.get('idempotency-replayed') === null)).toHaveLength(1)
    expect(app.store.issued).toHaveLength(1)
  })

  test('is refused with 422 when the body differs', async () => {
    const app = await createTestApp()
    await app.request('/v1/assessments', submission(app, { headers }))
    const other = await app.request(
      '/v1/assessments',
      submission(app, { headers, body: { ...comparison, claims: [] } }),
    )
    expect(other.status).toBe(422)
    expect((await other.json()).code).toBe('ERR_IDEMPOTENCY_KEY_REUSED')
    expect(app.store.issued).toHaveLength(1)
  })

  test('is another request for another organisation', async () => {
    const app = await createTestApp()
    app.admit('fp_b', { tenant: 'tenant-b', organisation: 'Workshop B' })
    await app.request('/v1/assessments', submission(app, { headers }))
    const other = await app.request(
      '/v1/assessments',
      submission(app, { headers: { ...headers, authorization: 'Bearer fp_b' } }),
    )
    expect(other.headers.get('idempotency-replayed')).toBeNull()
    expect(app.store.issued).toHaveLength(2)
  })
})

describe('reading assessments', () => {
  test('lists them newest first, page by page, each once', async () => {
    const app = await createTestApp()
    const ids: string[] = []
    for (let count = 0; count < 5; count += 1) {
      ids.unshift((await (await app.request('/v1/assessments', submission(app))).json()).id)
    }
    const seen: string[] = []
    const pages: number[] = []
    for (let cursor: string | null = ''; cursor !== null; ) {
      const query = cursor === '' ? 'limit=2' : `limit=2&cursor=${cursor}`
      const page: { items: { id: string }[]; nextCursor: string | null } = await (
        await app.request(`/v1/assessments?${query}`, reading(app.key))
      ).json()
      seen.push(...page.items.map(({ id }) => id))
      pages.push(page.items.length)
      cursor = page.nextCursor
    }
    expect(seen).toEqual(ids)
    expect(pages).toEqual([2, 2, 1])
  })

  test("answers a missing one and another organisation's alike", async () => {
    const app = await createTestApp()
    app.admit('fp_b', { tenant: 'tenant-b' })
    const created = await app.request('/v1/assessments', submission(app))
    const bodyOf = async (path: string) => {
      const response = await app.request(path, reading('fp_b'))
      return { status: response.status, body: { ...(await response.json()), requestId: '' } }
    }
    const others = await bodyOf(created.headers.get('location') ?? '')
    expect(others.status).toBe(404)
    expect(others).toEqual(await bodyOf('/v1/assessments/01890000-0000-7000-8000-ffffffffffff'))
    expect(others).toEqual(await bodyOf('/v1/assessments/no-id-at-all'))
    expect((await (await app.request('/v1/assessments', reading('fp_b'))).json()).items).toEqual([])
  })

  test('answers 304 without a body to whoever holds the bytes already', async () => {
    const app = await createTestApp()
    const created = await app.request('/v1/assessments', submission(app))
    const location = created.headers.get('location') ?? ''
    const etag = created.headers.get('etag') ?? ''
    const again = (ifNoneMatch: string) =>
      app.request(location, { headers: { ...reading(app.key).headers, 'if-none-match': ifNoneMatch } })
    const unchanged = await again(`"other", ${etag}`)
    expect(unchanged.status).toBe(304)
    expect(await unchanged.text()).toBe('')
    expect(unchanged.headers.get('etag')).toBe(etag)
    expect((await again('"other"')).status).toBe(200)
  })

  test('answers HEAD like GET, without a body', async () => {
    const app = await createTestApp()
    const created = await app.request('/v1/assessments', submission(app))
    const head = await app.request(created.headers.get('location') ?? '', { ...reading(app.key), method: 'HEAD' })
    expect(head.status).toBe(200)
    expect(head.headers.get('etag')).toBe(created.headers.get('etag'))
    expect(await head.text()).toBe('')
  })
})
