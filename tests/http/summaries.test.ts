/** Publication, public reading, withdrawal, and what a verification says of each. */
import { describe, expect, test } from 'vitest'
import { readKeySet, verifySummary, verifyWithdrawal } from '../../packages/sdk/src/integrity/index.ts'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { createTestApp, type TestApp } from '../support/test-app.ts'

function asked(app: TestApp, key = app.key) {
  const headers = { authorization: `Bearer ${key}`, 'content-type': 'application/json' }
  return {
    post: (path: string, body: unknown) => app.request(path, { method: 'POST', headers, body: JSON.stringify(body) }),
    get: (path: string) => app.request(path, { headers }),
  }
}

async function issued(app: TestApp, query = '', key = app.key) {
  const response = await asked(app, key).post(`/v1/assessments${query}`, comparisonExamples.publishedFigures)
  expect(response.status).toBe(201)
  return response.json()
}

describe('an issued summary', () => {
  test('carries its place in the log, which proves it, and is read again byte for byte', async () => {
    const app = await createTestApp()
    const first = await asked(app).post('/v1/assessments', comparisonExamples.publishedFigures)
    const text = await first.text()
    const { id, summary, log } = JSON.parse(text)
    expect(log.index).toBe(0)
    expect(await (await asked(app).get(`/v1/assessments/${id}`)).text()).toBe(text)
    const report = await (await asked(app).post('/v1/verifications', { summary, log })).json()
    expect(report).toMatchObject({
      verdict: 'verified',
      logged: { status: 'proven', index: 0 },
      withdrawn: { status: 'not-withdrawn', asOf: '2026-05-02T09:30:00.000Z', reason: null },
    })
    const bent = await asked(app).post('/v1/verifications', { summary, log: { ...log, index: 1 } })
    expect(await bent.json()).toMatchObject({ verdict: 'refused', failure: { code: 'ERR_LOG_INCLUSION', step: 'log' } })
  })

  test('is logged once, however often its request is repeated', async () => {
    const app = await createTestApp()
    const headers = {
      authorization: `Bearer ${app.key}`,
      'content-type': 'application/json',
      'idempotency-key': 'once',
    }
    const body = JSON.stringify(comparisonExamples.publishedFigures)
    const send = () => app.request('/v1/assessments', { method: 'POST', headers, body })
    const answers = await Promise.all([send(), send(), send(), send()])
    const texts = await Promise.all(answers.map((answer) => answer.text()))
    expect(new Set(texts).size).toBe(1)
    expect(app.entries).toHaveLength(1)
  })
})

describe('publication', () => {
  test('lets anybody read the summary for good, under a strong tag, and the runs only where that was chosen', async () => {
    const app = await createTestApp()
    const { id } = await issued(app)
    for (const path of ['', '/status', '/runs', '/report.html', '/badge.svg', '/chart.svg']) {
      expect((await app.request(`/v1/summaries/${id}${path}`)).status, path).toBe(404)
    }
    const published = await asked(app).post(`/v1/assessments/${id}/publication`, { runs: false })
    expect(await published.json()).toMatchObject({ id, status: 'published', withRuns: false, withdrawal: null })
    const read = await app.request(`/v1/summaries/${id}`)
    expect(read.headers.get('cache-control')).toBe('public, max-age=31536000, immutable')
    const tag = read.headers.get('etag') ?? ''
    expect(tag).toMatch(/^"[\w-]{43}"$/)
    const again = await app.request(`/v1/summaries/${id}`, { headers: { 'if-none-match': tag } })
    expect(again.status).toBe(304)
    expect(await read.text()).toBe(await (await asked(app).get(`/v1/assessments/${id}`)).text())
    expect((await app.request(`/v1/summaries/${id}/runs`)).status).toBe(404)
    expect((await app.request(`/v1/summaries/${id}/badge.svg`)).status).toBe(200)

    await asked(app).post(`/v1/assessments/${id}/publication`, { runs: true })
    const runs = await (await app.request(`/v1/summaries/${id}/runs`)).json()
    expect(runs).toEqual(comparisonExamples.publishedFigures)
    const still = await asked(app).post(`/v1/assessments/${id}/publication`, { runs: false })
    expect((await still.json()).withRuns).toBe(true)
  })

  test('is for the owner alone: another organisation and a missing summary answer alike', async () => {
    const app = await createTestApp()
    const { id } = await issued(app)
    app.admit('fp_other', { tenant: 'tenant-b', organisation: 'Workshop B' })
    const missing = '01890000-0000-7000-8000-00000000ffff'
    const requests = [
      (of: string) => asked(app, 'fp_other').post(`/v1/assessments/${of}/publication`, { runs: true }),
      (of: string) => asked(app, 'fp_other').post(`/v1/summaries/${of}/withdrawal`, { reason: 'Not mine.' }),
    ]
    for (const request of requests) {
      const [others, nobodys] = [await request(id), await request(missing)]
      expect([others.status, nobodys.status]).toEqual([404, 404])
      const { instance: _one, ...one } = await others.json()
      const { instance: _other, ...other } = await nobodys.json()
      expect({ ...one, requestId: null }).toEqual({ ...other, requestId: null })
    }
    expect((await app.request(`/v1/summaries/${id}`)).status).toBe(404)
  })

  test.each([
    [{}, '/runs', 'ERR_MISSING_MEMBER'],
    [{ runs: 'yes' }, '/runs', 'ERR_WRONG_TYPE'],
    [{ runs: true, more: 1 }, '/more', 'ERR_UNKNOWN_MEMBER'],
    [[], '', 'ERR_WRONG_TYPE'],
  ])('refuses %j with a pointer', async (body, pointer, code) => {
    const app = await createTestApp()
    const { id } = await issued(app)
    const refused = await asked(app).post(`/v1/assessments/${id}/publication`, body)
    expect(refused.status).toBe(422)
    expect((await refused.json()).errors[0]).toMatchObject({ pointer, code })
  })
})

describe('a withdrawal', () => {
  const reason = 'The baseline was measured with a torn intake hose.'

  test('leaves a signed, logged tombstone, hides the runs, and shows in a verification; the first one stays', async () => {
    const app = await createTestApp()
    const { id, summary } = await issued(app)
    await asked(app).post(`/v1/assessments/${id}/publication`, { runs: true })
    const notice = await (await asked(app).post(`/v1/summaries/${id}/withdrawal`, { reason })).json()
    expect(notice).toMatchObject({ id, reason, withdrawnAt: '2026-05-02T09:30:00.000Z', log: { index: 1 } })
    const repeated = await asked(app).post(`/v1/summaries/${id}/withdrawal`, { reason: 'Another reason.' })
    expect(await repeated.json()).toEqual(notice)
    expect(app.entries).toHaveLength(2)

    const gone = await app.request(`/v1/summaries/${id}`)
    expect(gone.status).toBe(410)
    expect((await gone.json()).detail).toContain(reason)
    expect((await app.request(`/v1/summaries/${id}/runs`)).status).toBe(404)
    const status = await (await app.request(`/v1/summaries/${id}/status`)).json()
    expect(status).toMatchObject({ status: 'withdrawn', withdrawal: notice })
    const published = await asked(app).post(`/v1/assessments/${id}/publication`, { runs: true })
    expect(published.status).toBe(410)

    const report = await (await asked(app).post('/v1/verifications', { summary })).json()
    expect(report.withdrawn).toEqual({ status: 'withdrawn', asOf: notice.withdrawnAt, reason })
    const keys = await readKeySet(await (await app.request('/.well-known/jwks.json')).json())
    if (!keys.ok) throw new Error(keys.problem.detail)
    expect(await verifyWithdrawal(notice.notice, keys.value)).toMatchObject({
      ok: true,
      value: { summary: id, reason },
    })
    // A withdrawal is a document of its own type: it cannot stand for a summary, nor a summary for it.
    expect((await verifySummary(notice.notice, { keys: keys.value })).failure?.code).toBe('ERR_HEADER_TYP')
    expect(await verifyWithdrawal(summary, keys.value)).toMatchObject({ ok: false })
  })

  test('keeps the same runs from being signed again, unless the new summary says which one it replaces', async () => {
    const app = await createTestApp()
    const { id } = await issued(app)
    await asked(app).post(`/v1/summaries/${id}/withdrawal`, { reason })
    const again = await asked(app).post('/v1/assessments', comparisonExamples.publishedFigures)
    expect(again.status).toBe(409)
    expect(await again.json()).toMatchObject({ code: 'ERR_SUPERSEDES', detail: expect.stringContaining(id) })
    const renamed = { ...comparisonExamples.publishedFigures, changes: [{ what: 'renamed', role: 'under-test' }] }
    expect((await asked(app).post('/v1/assessments', renamed)).status).toBe(409)
    const unknown = '01890000-0000-7000-8000-00000000ffff'
    const wrong = await asked(app).post(`/v1/assessments?supersedes=${unknown}`, comparisonExamples.publishedFigures)
    expect(wrong.status).toBe(409)
    const replaced = await issued(app, `?supersedes=${id}`)
    expect(replaced.payload.issue.supersedes).toBe(id)
    app.admit('fp_other', { tenant: 'tenant-b', organisation: 'Workshop B' })
    await issued(app, '', 'fp_other')
  })

  test('of a summary that was never published takes it back as well, and makes nothing public', async () => {
    const app = await createTestApp()
    const { id } = await issued(app)
    expect((await asked(app).post(`/v1/summaries/${id}/withdrawal`, { reason })).status).toBe(200)
    expect((await app.request(`/v1/summaries/${id}`)).status).toBe(404)
  })
})

describe('the log over HTTP', () => {
  test('serves checkpoint and tiles as C2SP lays them out, and keeps for good only what never changes', async () => {
    const app = await createTestApp()
    await issued(app)
    const checkpoint = await app.request('/log/checkpoint')
    expect(await checkpoint.text()).toMatch(/^log\.example\.org\n1\n[A-Za-z0-9+/]{43}=\n\n— log\.example\.org \S+\n$/)
    expect(checkpoint.headers.get('cache-control')).toBe('public, max-age=5')
    const tile = await app.request('/log/tile/0/000.p/1')
    expect((await tile.arrayBuffer()).byteLength).toBe(32)
    expect(tile.headers.get('cache-control')).toContain('immutable')
    expect((await (await app.request('/log/tile/entries/000.p/1')).arrayBuffer()).byteLength).toBe(2 + 20 + 32)
    for (const none of ['0/000', '0/000.p/2', '0/001.p/1', '1/000.p/1', '00/000.p/1', 'entries/000', '0/0', '64/000']) {
      expect((await app.request(`/log/tile/${none}`)).status, none).toBe(404)
    }
  })
})
