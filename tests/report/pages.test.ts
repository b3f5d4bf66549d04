import { describe, expect, test } from 'vitest'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { contentHash } from '../../packages/service/src/report/page.ts'
import { createTestApp } from '../support/test-app.ts'

async function assessed() {
  const app = await createTestApp()
  const headers = { authorization: `Bearer ${app.key}`, 'content-type': 'application/json' }
  const body = JSON.stringify(comparisonExamples.publishedFigures)
  const { id } = (await (await app.request('/v1/assessments', { method: 'POST', headers, body })).json()) as {
    id: string
  }
  const get = (path: string, more: Record<string, string> = {}) =>
    app.request(`/v1/assessments/${id}${path}`, { headers: { authorization: `Bearer ${app.key}`, ...more } })
  return { app, get }
}

describe('pages of an assessment', () => {
  test.each([
    ['/chart.svg', 'image/svg+xml'],
    ['/badge.svg', 'image/svg+xml'],
    ['/report.html', 'text/html; charset=utf-8'],
  ])(
    '%s is answered with its type, a policy that permits its style sheet only, and an entity tag',
    async (path, type) => {
      const { get } = await assessed()
      const response = await get(path)
      expect([response.status, response.headers.get('content-type')]).toEqual([200, type])
      const [, style = ''] = /<style>([^<]*)<\/style>/.exec(await response.text()) ?? []
      expect(response.headers.get('content-security-policy')).toMatch(/^default-src 'none'; style-src '/)
      expect(response.headers.get('content-security-policy')).toContain(`style-src '${contentHash(style)}';`)
      const again = await get(path, { 'if-none-match': response.headers.get('etag') ?? '' })
      expect(again.status).toBe(304)
    },
  )

  test('the comparison is put together again from what is stored', async () => {
    const { get } = await assessed()
    expect(await (await get('/report.html')).text()).toContain('silencer')
  })

  test('the chart is drawn as asked for, and nothing else is taken', async () => {
    const { get } = await assessed()
    expect(await (await get('/chart.svg?layout=narrow&theme=dark&unit=lbf-ft')).text()).toContain('viewBox="0 0 320 ')
    for (const query of ['unit=PS', 'layout=huge', 'theme=', 'script=1']) {
      expect((await get(`/chart.svg?${query}`)).status).toBe(400)
    }
  })

  test('are there for nobody else', async () => {
    const { app, get } = await assessed()
    app.admit('fp_other', { tenant: 'tenant-b', organisation: 'Workshop B' })
    for (const path of ['/chart.svg', '/badge.svg', '/report.html']) {
      expect((await get(path, { authorization: 'Bearer fp_other' })).status).toBe(404)
      expect((await get(path, { authorization: '' })).status).toBe(401)
    }
  })
})
