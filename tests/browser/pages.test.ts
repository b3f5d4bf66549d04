import type { Browser, BrowserContext } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { problemCodes, problemSlug } from '../../packages/service/src/http/problem.ts'
import { seriousBreaches, startBrowser, watchedPage } from './browser.ts'
import { lookedAt, type Site, startSite } from './site.ts'

let site: Site
let browser: Browser
let context: BrowserContext

beforeAll(async () => {
  site = await startSite()
  browser = await startBrowser()
  context = await browser.newContext({ extraHTTPHeaders: { authorization: `Bearer ${site.key}` } })
})

afterAll(async () => {
  await browser?.close()
  await site?.server.close(0)
})

describe('everything that people look at', () => {
  test('opens, asks for nothing but itself, and keeps to its policy', async () => {
    for (const path of lookedAt(site)) {
      const { page, requests, errors } = await watchedPage(context)
      const response = await page.goto(site.url + path)
      expect([path, response?.status()]).toEqual([path, 200])
      expect(response?.headers()['content-security-policy'], path).toMatch(/^default-src 'none'/)
      await page.waitForLoadState('load')
      // A browser asks for an icon of its own accord; nothing of ours names one.
      expect(
        requests.filter((url) => !url.endsWith('/favicon.ico')),
        path,
      ).toEqual([site.url + path])
      expect(
        errors.filter((error) => !error.includes('404')),
        path,
      ).toEqual([])
      await page.close()
    }
  })

  test('has nothing in it that axe-core calls serious, in light and in dark', async () => {
    for (const path of lookedAt(site).filter((each) => !each.endsWith('.svg'))) {
      const { page } = await watchedPage(context)
      await page.goto(site.url + path)
      for (const colorScheme of ['light', 'dark'] as const) {
        // The documentation has the colours of every other page, and is long.
        if (path === '/docs' && colorScheme === 'dark') continue
        await page.emulateMedia({ colorScheme })
        expect(await seriousBreaches(page), `${path}, ${colorScheme}`).toEqual([])
      }
      await page.close()
    }
  }, 300_000)

  test('never has to be moved sideways, from 320 pixels on', async () => {
    for (const path of lookedAt(site).filter((each) => !each.endsWith('.svg'))) {
      const { page } = await watchedPage(context)
      await page.goto(site.url + path)
      for (const width of [320, 768, 1280]) {
        await page.setViewportSize({ width, height: 900 })
        const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)
        expect(overflow, `${path} at ${width}`).toBeLessThanOrEqual(0)
      }
      await page.close()
    }
  }, 300_000)
})

describe('the report', () => {
  const reportOf = (name: Parameters<Site['issued']['get']>[0]) =>
    `${site.url}/v1/assessments/${site.issued.get(name)?.id}/report.html`

  test('shows the chart in the unit that is chosen, and only that', async () => {
    const { page } = await watchedPage(context)
    await page.setViewportSize({ width: 1000, height: 900 })
    await page.goto(reportOf('air-filter'))
    const visible = () => page.locator('.charts figure:visible').evaluateAll((all) => all.map((each) => each.className))
    expect(await visible()).toEqual(['chart-kW wide'])
    await page.getByLabel('lbf ft').check()
    expect(await visible()).toEqual(['chart-lbf-ft wide'])
    await page.setViewportSize({ width: 400, height: 900 })
    expect(await visible()).toEqual(['chart-lbf-ft narrow'])
  })

  test('can be worked by keyboard, and every picture has a name', async () => {
    const { page } = await watchedPage(context)
    await page.goto(reportOf('air-filter'))
    await page.keyboard.press('Tab')
    const focused = await page.evaluate(() => document.activeElement?.tagName)
    expect(focused).not.toBe('BODY')
    const unnamed = await page
      .locator('svg:visible')
      .evaluateAll((all) =>
        all.filter((each) => !each.hasAttribute('aria-label') && !each.hasAttribute('aria-labelledby')).map(String),
      )
    expect(unnamed).toEqual([])
  })
})

test('every problem type resolves to a page for people, and to JSON for programs', async () => {
  const { page } = await watchedPage(context)
  for (const code of problemCodes) {
    const address = `${site.url}/problems/${problemSlug(code)}`
    const response = await page.goto(address)
    expect([code, response?.status(), response?.headers()['content-type']]).toEqual([
      code,
      200,
      'text/html; charset=utf-8',
    ])
    expect(await page.locator('main').textContent()).toContain(code)
    expect(await (await fetch(address)).json()).toMatchObject({ code })
  }
})
