import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { SummaryPayload } from '../../packages/sdk/src/contract/index.ts'
import { badge } from '../../packages/service/src/report/badge.ts'
import { chartDocument } from '../../packages/service/src/report/chart/chart.ts'
import { chartData } from '../../packages/service/src/report/chart/chart-data.ts'
import { problemPage } from '../../packages/service/src/report/docs/problem-page.ts'
import { textOf } from '../../packages/service/src/report/markup.ts'
import { reportPage } from '../../packages/service/src/report/report.ts'
import type { ReportSource } from '../../packages/service/src/report/report-source.ts'
import { fullPayload } from '../contract/answer-fixture.ts'
import { demoSource } from '../report/demo-source.ts'
import { withText } from '../report/hostile-text.ts'
import { startBrowser } from './browser.ts'
import { injections } from './injections.ts'

let browser: Browser
let context: BrowserContext
let page: Page
const hits: string[] = []
const served = new Map<string, { readonly body: string; readonly type: string; readonly policy: string | null }>()

beforeAll(async () => {
  browser = await startBrowser()
  context = await browser.newContext()
  await context.exposeFunction('hit', () => {
    hits.push('hit')
  })
  await context.route('**/*', async (route) => {
    const found = served.get(new URL(route.request().url()).pathname)
    if (found === undefined) return route.fulfill({ status: 404 })
    const { body, type, policy } = found
    const headers = policy === null ? {} : { 'content-security-policy': policy }
    return route.fulfill({ body, contentType: type, headers })
  })
  page = await context.newPage()
})

afterAll(() => browser?.close())

/** How often a program ran while the document was open. */
async function runsIn(body: string, type = 'text/html', policy: string | null = null): Promise<number> {
  hits.length = 0
  served.set('/page', { body, type, policy })
  await page.goto('http://pages.test/page', { waitUntil: 'load' })
  // Whatever runs on load, on error or on focus has run after two turns of the page.
  await page.evaluate(() => new Promise((resolve) => setTimeout(resolve, 0)))
  return hits.length
}

/** The page without its own policy: escaping alone has to hold. */
const withoutPolicy = (html: string) => html.replace(/<meta http-equiv="Content-Security-Policy"[^>]*>/, '')

describe('the two hundred texts', () => {
  test('are two hundred, and nearly all of them do run where text is taken for markup', async () => {
    expect(new Set(injections).size).toBe(200)
    let ran = 0
    for (const text of injections) ran += (await runsIn(`<!doctype html><body><p>${text}`)) > 0 ? 1 : 0
    // Those that need an attribute to stand in, or a plug-in, do nothing between tags.
    expect(ran).toBeGreaterThan(120)
  }, 300_000)

  test('run nowhere under the policy of our pages, even where text is taken for markup', async () => {
    const { policy } = problemPage({ code: 'x', status: 400, title: 'x', about: 'x' })
    for (const text of injections) {
      expect(await runsIn(`<!doctype html><body><p>${text}`, 'text/html', policy), text).toBe(0)
    }
  }, 300_000)
})

describe('in every text field of a summary and its comparison', () => {
  test('the report runs none of them, without any policy', async () => {
    const plain = await demoSource('air-filter')
    for (const text of injections) {
      const { html } = reportPage(sourceWith(plain, text))
      expect(withoutPolicy(html)).not.toBe(html)
      expect(await runsIn(withoutPolicy(html)), text).toBe(0)
    }
  }, 300_000)

  test('badge and chart run none of them, without any policy', async () => {
    const plain = await demoSource('air-filter')
    const drawn = chartData(plain.payload.result, plain.comparison)
    expect(drawn.levels.length).toBeGreaterThan(0)
    for (const text of injections) {
      const source = sourceWith(plain, text)
      const data = { ...drawn, runs: [], levels: drawn.levels.map((level) => ({ ...level, claim: text })) }
      const options = { unit: 'kW', layout: 'wide', theme: 'auto', idPrefix: 'c' } as const
      for (const picture of [badge(source), chartDocument(data, options)]) {
        expect(await runsIn(textOf(picture), 'image/svg+xml'), text).toBe(0)
        expect(await page.locator('parsererror').count(), text).toBe(0)
      }
    }
  }, 300_000)
})

function sourceWith(plain: ReportSource, text: string): ReportSource {
  return {
    payload: withText(fullPayload() as unknown as SummaryPayload, text),
    jws: text,
    status: 'published',
    comparison: withText(plain.comparison, text),
  }
}
