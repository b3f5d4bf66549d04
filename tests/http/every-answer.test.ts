import { describe, expect, test } from 'vitest'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { createLineLog, describeError } from '../../packages/service/src/http/log.ts'
import { createTestApp } from '../support/test-app.ts'

describe('the request id', () => {
  test('is the one that was sent, if it is safe to repeat', async () => {
    const app = await createTestApp()
    for (const path of ['/livez', '/nowhere', '/v1/assessments']) {
      const response = await app.request(path, { headers: { 'x-request-id': 'trace-4711.a_b' } })
      expect(response.headers.get('x-request-id')).toBe('trace-4711.a_b')
    }
  })

  test('is made afresh otherwise', async () => {
    const app = await createTestApp()
    for (const sent of ['short', 'a'.repeat(101), '<script>alert(1)</script>', 'with blank here', '-leading-dash']) {
      const response = await app.request('/livez', { headers: { 'x-request-id': sent } })
      expect(response.headers.get('x-request-id')).toMatch(/^[0-9a-f-]{36}$/)
    }
  })
})

test('no answer lets a browser guess its type', async () => {
  const app = await createTestApp()
  for (const path of ['/livez', '/nowhere', '/openapi.json']) {
    expect((await app.request(path)).headers.get('x-content-type-options')).toBe('nosniff')
  }
})

describe('the log', () => {
  test('has one line per request, with who asked and what became of it', async () => {
    const app = await createTestApp()
    await app.request('/v1/assessments?limit=x', {
      headers: { authorization: `Bearer ${app.key}`, 'x-request-id': 'request-1' },
    })
    expect(app.log).toEqual([
      {
        event: 'request',
        requestId: 'request-1',
        operation: 'listAssessments',
        method: 'GET',
        status: 400,
        code: 'ERR_PARAMETER',
        duration_ms: expect.any(Number),
        tenant: 'tenant-a',
        apiKey: 'key-a',
      },
    ])
  })

  test('holds no key, no header field, no address and no body, whatever was sent', async () => {
    const app = await createTestApp({ assess: () => Promise.reject(new Error('failed')) })
    const canary = 'CANARY-4f1d'
    const body = JSON.stringify({ ...comparisonExamples.publishedFigures, changes: [{ what: canary, role: 'other' }] })
    const headers = {
      authorization: `Bearer ${canary}`,
      'idempotency-key': canary,
      cookie: canary,
      'content-type': 'application/json',
    }
    app.admit(canary, {})
    const statuses = [
      await app.request('/v1/assessments', { method: 'POST', headers, body }),
      await app.request(`/v1/assessments?x=${canary}`, { headers }),
      await app.request(`/${canary}`, { headers }),
      await app.request('/v1/assessments', { method: 'POST', headers, body: `{"${canary}` }),
    ].map((response) => response.status)
    expect(statuses).toEqual([500, 400, 404, 400])
    expect(app.log).toHaveLength(5)
    expect(JSON.stringify(app.log)).not.toContain(canary)
  })

  test('is one JSON object per line, with its time', () => {
    const lines: string[] = []
    const log = createLineLog(
      () => new Date('2026-05-02T07:30:00Z'),
      (line) => lines.push(line),
    )
    log.write({ event: 'draining', detail: 'two\nlines' })
    expect(lines).toEqual(['{"time":"2026-05-02T07:30:00.000Z","event":"draining","detail":"two\\nlines"}\n'])
  })

  test('follows causes, but not for ever', () => {
    const endless = new Error('loop')
    endless.cause = endless
    const described = describeError(new Error('outer', { cause: Object.assign(new Error('inner'), { code: 'ERR_X' }) }))
    expect(described.cause).toMatchObject({ message: 'inner', code: 'ERR_X', cause: null })
    expect(JSON.stringify(describeError(endless)).match(/"loop"/g)).toHaveLength(5)
    expect(describeError('a text')).toMatchObject({ name: 'string', message: 'a text' })
  })
})
