import { readFileSync } from 'node:fs'
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { SummaryPayload } from '../../packages/sdk/src/contract/index.ts'
import { importSigningKey, signSummary } from '../../packages/sdk/src/integrity/index.ts'
import { TEST_ISSUER, testSigningKey, testTrust } from '../../packages/sdk/src/testing/index.ts'
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
import { VERIFIER_FILE } from './site.ts'

let browser: Browser
let context: BrowserContext
let page: Page
const hits: string[] = []
const served = new Map<string, Served>()

/** A document as it is sent. */
interface Served {
  readonly body: string
  readonly type: string
  readonly policy: string | null
}

const ORIGIN = 'http://pages.test'

/** Documents that are open at once, each in a frame of its own. */
const AT_ONCE = 25

beforeAll(async () => {
  browser = await startBrowser()
  context = await browser.newContext()
  await context.exposeBinding('hit', ({ frame }) => {
    hits.push(frame.url())
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

/** Opens documents, many at a time, and says in how many a program ran and how many are not well-formed. */
async function opened(bodies: readonly string[], type = 'text/html', policy: string | null = null) {
  const seen = { ran: 0, malformed: 0 }
  for (let from = 0; from < bodies.length; from += AT_ONCE) {
    const some = bodies.slice(from, from + AT_ONCE)
    hits.length = 0
    served.clear()
    for (const [i, body] of some.entries()) served.set(`/${i}`, { body, type, policy })
    const frames = some.map((_, i) => `<iframe src="/${i}"></iframe>`).join('')
    served.set('/all', { body: `<!doctype html>${frames}`, type: 'text/html', policy: null })
    await page.goto(`${ORIGIN}/all`, { waitUntil: 'load' })
    // Whatever runs on load, on error or on focus has run after a turn of the page.
    seen.malformed += await page.evaluate(async () => {
      await new Promise((resolve) => setTimeout(resolve, 100))
      const documents = Array.from(document.querySelectorAll('iframe'), (frame) => frame.contentDocument)
      return documents.filter((each) => each === null || each.querySelector('parsererror') !== null).length
    })
    seen.ran += new Set(hits).size
  }
  return seen
}

/** The page without its own policy: escaping alone has to hold. */
const withoutPolicy = (html: string) => html.replace(/<meta http-equiv="Content-Security-Policy"[^>]*>/, '')

const asMarkup = injections.map((text) => `<!doctype html><body><p>${text}`)

describe('the two hundred texts', () => {
  test('are two hundred, and most of them do run where text is taken for markup', async () => {
    expect(new Set(injections).size).toBe(200)
    // Those that need an attribute to stand in, or a plug-in, do nothing between tags.
    expect((await opened(asMarkup)).ran).toBeGreaterThan(110)
  }, 300_000)

  test('run nowhere under the policy of our pages, even where text is taken for markup', async () => {
    const { policy } = problemPage({ code: 'x', status: 400, title: 'x', about: 'x' })
    // In the frames of this test the part about framing would keep the documents from opening at all.
    const framed = policy.replace("; frame-ancestors 'none'", '')
    expect(framed).not.toBe(policy)
    expect((await opened(asMarkup, 'text/html', framed)).ran).toBe(0)
  }, 300_000)
})

describe('in every text field of a summary and its comparison', () => {
  test('the report runs none of them, without any policy', async () => {
    const plain = await demoSource('air-filter')
    const pages = injections.map((text) => reportPage(sourceWith(plain, text)).html)
    expect(pages.map(withoutPolicy).filter((html, i) => html === pages[i])).toEqual([])
    expect((await opened(pages.map(withoutPolicy))).ran).toBe(0)
  }, 300_000)

  test('badge and chart run none of them, without any policy, and stay well-formed', async () => {
    const plain = await demoSource('air-filter')
    const drawn = chartData(plain.payload.result, plain.comparison)
    expect(drawn.levels.length).toBeGreaterThan(0)
    const options = { unit: 'kW', layout: 'wide', theme: 'auto', idPrefix: 'c' } as const
    const pictures = injections.flatMap((text) => {
      const data = { ...drawn, runs: [], levels: drawn.levels.map((level) => ({ ...level, claim: text })) }
      return [textOf(badge(sourceWith(plain, text))), textOf(chartDocument(data, options))]
    })
    expect(await opened(pictures, 'image/svg+xml')).toEqual({ ran: 0, malformed: 0 })
  }, 300_000)

  test('the verifier page runs none of them, without its policy, and shows what they are', async () => {
    const { payload } = await demoSource('air-filter')
    const html = readFileSync(VERIFIER_FILE, 'utf8')
    expect(withoutPolicy(html)).not.toBe(html)
    served.set('/verify', { body: withoutPolicy(html), type: 'text/html', policy: null })
    hits.length = 0
    // Signatures are checked in secure contexts only, and localhost is one.
    await page.goto('http://localhost/verify')
    const trust = { name: 'trust.json', mimeType: 'text/plain', buffer: Buffer.from(JSON.stringify(testTrust)) }
    const key = await importSigningKey(testSigningKey)
    if (!key.ok) throw new Error(key.problem.code)
    let shownAsText = 0
    for (const text of injections) {
      const jws = Buffer.from(await signSummary(signable(payload, text), key.value))
      await page.locator('#files').setInputFiles([{ name: 'a.jws', mimeType: 'text/plain', buffer: jws }, trust])
      await page.locator('#report .standing').waitFor()
      const verdict = (await page.locator('#report .verdict').textContent()) ?? ''
      shownAsText += Number(verdict === text)
      await page.locator('#clear').click()
    }
    expect(hits).toEqual([])
    expect(shownAsText).toBe(injections.length)
  }, 300_000)

  test('a picture that is not well-formed would be noticed', async () => {
    expect(await opened(['<svg xmlns="http://www.w3.org/2000/svg"><text></svg>'], 'image/svg+xml')).toEqual({
      ran: 0,
      malformed: 1,
    })
  })
})

/** A summary whose envelope is in order, with the text in everything that the verifier page shows of it. */
function signable({ issue, result }: SummaryPayload, text: string): SummaryPayload {
  const { method, protocol, inputs } = result
  return {
    issue: { ...issue, issuer: TEST_ISSUER, submitter: text },
    result: { ...withText(result, text), method, protocol, inputs },
  }
}

function sourceWith(plain: ReportSource, text: string): ReportSource {
  return {
    payload: withText(fullPayload() as unknown as SummaryPayload, text),
    jws: text,
    status: 'published',
    comparison: withText(plain.comparison, text),
  }
}
