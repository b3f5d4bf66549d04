/** What an operator relies on: figures of the service, and a limit for each key. */
import { expect, test } from 'vitest'
import { createTestApp } from '../support/test-app.ts'

const bearer = (key: string) => ({ headers: { authorization: `Bearer ${key}` } })

test('the figures count requests by operation, status and code', async () => {
  const app = await createTestApp()
  await app.request('/livez')
  await app.request('/v1/assessments', bearer('fp_test'))
  await app.request('/v1/assessments', bearer('fp_nobody'))
  const figures = await app.request('/metrics', bearer('fp_test'))
  expect(figures.headers.get('content-type')).toBe('text/plain; version=0.0.4; charset=utf-8')
  const text = await figures.text()
  expect(text).toContain('fairpull_requests_total{operation="getLiveness",status="200",code=""} 1')
  expect(text).toContain('fairpull_requests_total{operation="listAssessments",status="200",code=""} 1')
  expect(text).toContain(
    'fairpull_requests_total{operation="listAssessments",status="401",code="ERR_UNAUTHENTICATED"} 1',
  )
  expect(text).toContain('fairpull_request_duration_seconds_count{operation="listAssessments"} 2')
  expect(text).not.toContain('fp_')
})

test('the figures are for a key that may read them', async () => {
  const app = await createTestApp()
  app.admit('fp_reader', { apiKey: 'key-r', scopes: ['assessments:read'] })
  expect((await app.request('/metrics')).status).toBe(401)
  expect((await app.request('/metrics', bearer('fp_reader'))).status).toBe(403)
})

test('every answer to a key says how many requests it has left', async () => {
  const app = await createTestApp({ rateLimit_perMinute: 3 })
  const first = await app.request('/v1/assessments', bearer('fp_test'))
  expect(first.headers.get('ratelimit-policy')).toBe('"key";q=3;w=60')
  expect(first.headers.get('ratelimit')).toMatch(/^"key";r=2;t=\d+$/)
  const refused = await app.request('/v1/assessments/01890000-0000-7000-8000-000000000001', bearer('fp_test'))
  expect(refused.status).toBe(404)
  expect(refused.headers.get('ratelimit')).toMatch(/^"key";r=1;t=\d+$/)
})

test('a key that has none left is asked to wait, and another key is not', async () => {
  const app = await createTestApp({ rateLimit_perMinute: 1 })
  app.admit('fp_other', { apiKey: 'key-other' })
  expect((await app.request('/v1/assessments', bearer('fp_test'))).status).toBe(200)
  const refused = await app.request('/v1/assessments', bearer('fp_test'))
  expect(refused.status).toBe(429)
  expect((await refused.json()).code).toBe('ERR_RATE_LIMITED')
  const wait_s = Number(refused.headers.get('retry-after'))
  expect(wait_s).toBeGreaterThan(0)
  expect(wait_s).toBeLessThanOrEqual(60)
  expect((await app.request('/v1/assessments', bearer('fp_other'))).status).toBe(200)
})

test('what takes no key is not counted', async () => {
  const app = await createTestApp({ rateLimit_perMinute: 1 })
  for (let count = 0; count < 3; count += 1) expect((await app.request('/v1/protocols')).status).toBe(200)
})
