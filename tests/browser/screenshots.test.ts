/** Pictures of everything for people to look at, written into the ignored folder `tests/browser/screenshots`. */
import { mkdir, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Browser, BrowserContext } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { demoComparison } from '../../packages/service/demo/scenario/index.ts'
import { startBrowser } from './browser.ts'
import { lookedAt, type Site, startSite } from './site.ts'

const FOLDER = fileURLToPath(new URL('./screenshots/', import.meta.url))
const WIDTHS = [320, 768, 1280]

let site: Site
let browser: Browser
let context: BrowserContext

beforeAll(async () => {
  await rm(FOLDER, { recursive: true, force: true })
  await mkdir(FOLDER, { recursive: true })
  site = await startSite()
  browser = await startBrowser()
  context = await browser.newContext({ extraHTTPHeaders: { authorization: `Bearer ${site.key}` } })
})

afterAll(async () => {
  await browser?.close()
  await site?.server.close(0)
})

/** A name for a file: which comparison, which page. */
function nameOf(path: string): string {
  const [name] = [...site.issued].find(([, { id }]) => path.includes(id)) ?? ['site']
  return `${name}-${path.split('/').at(-1)?.replace(/\..*/, '')}`
}

test('every page at 320, 768 and 1280 pixels, in dark, and printed on A4 and Letter', async () => {
  const page = await context.newPage()
  for (const path of lookedAt(site)) {
    for (const width of path.endsWith('.svg') ? [1280] : WIDTHS) {
      await page.setViewportSize({ width, height: 900 })
      await page.goto(site.url + path)
      const picture = await page.screenshot({
        path: join(FOLDER, `${nameOf(path)}-${width}.png`),
        fullPage: !path.endsWith('.svg'),
      })
      expect(picture.length).toBeGreaterThan(1000)
    }
    if (!nameOf(path).startsWith('air-filter-report')) continue
    await page.emulateMedia({ colorScheme: 'dark' })
    await page.screenshot({ path: join(FOLDER, `${nameOf(path)}-dark.png`), fullPage: true })
    await page.emulateMedia({ colorScheme: 'light' })
    for (const format of ['A4', 'Letter'] as const) {
      const sheet = await page.pdf({ format, preferCSSPageSize: false, printBackground: false })
      await writeFile(join(FOLDER, `${nameOf(path)}-${format}.pdf`), sheet)
    }
  }
}, 300_000)

test('the verifier page with a report in it', async () => {
  const page = await context.newPage()
  for (const width of WIDTHS) {
    await page.setViewportSize({ width, height: 900 })
    await page.goto(`${site.url}/verify`)
    const file = (name: string, value: unknown) => ({
      name,
      mimeType: 'application/json',
      buffer: Buffer.from(JSON.stringify(value)),
    })
    await page.locator('#issuer').fill('Test service')
    await page
      .locator('#files')
      .setInputFiles([
        file('air-filter.json', site.issued.get('air-filter')),
        file('keys.json', site.jwks),
        file('comparison.json', demoComparison('air-filter', 1)),
      ])
    await page.locator('#report .standing').waitFor()
    await page.screenshot({ path: join(FOLDER, `verified-${width}.png`), fullPage: true })
  }
  expect(await page.locator('#report .standing').textContent()).toContain('Verified')
}, 120_000)
