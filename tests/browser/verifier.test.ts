import { copyFile, mkdtemp, readFile, rm, stat } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { VerificationReport } from '../../packages/sdk/src/integrity/index.ts'
import { demoComparison, demoNames } from '../../packages/service/demo/scenario/index.ts'
import { type Observed, startBrowser, watchedPage } from './browser.ts'
import { type Site, startSite, VERIFIER_FILE } from './site.ts'

let site: Site
let browser: Browser
let context: BrowserContext
let folder: string

beforeAll(async () => {
  site = await startSite()
  folder = await mkdtemp(join(tmpdir(), 'fairpull-verifier-'))
  await copyFile(VERIFIER_FILE, join(folder, 'saved.html'))
  browser = await startBrowser()
  context = await browser.newContext()
  await context.setOffline(true)
})

afterAll(async () => {
  await browser?.close()
  await site?.server.close(0)
  await rm(folder, { recursive: true, force: true })
})

/** The saved page, from disk, with the network off. */
async function savedPage(): Promise<Observed> {
  const observed = await watchedPage(context)
  await observed.page.goto(`file://${folder}/saved.html`)
  return observed
}

const file = (name: string, content: string) => ({ name, mimeType: 'text/plain', buffer: Buffer.from(content) })

/** Gives files to the page and waits for its verdict. */
async function verdictOf(page: Page, files: readonly ReturnType<typeof file>[]): Promise<string> {
  await page.locator('#files').setInputFiles([...files])
  await page.locator('#report .standing').waitFor()
  return (await page.locator('#report .standing').textContent()) ?? ''
}

const summaryOf = (name: (typeof demoNames)[number]) => site.issued.get(name)?.summary ?? ''
const keysFile = () => file('keys.json', JSON.stringify(site.jwks))

/** One character of the signed bytes changed. */
function tampered(jws: string): string {
  const at = Math.floor(jws.length / 2)
  return jws.slice(0, at) + (jws[at] === 'A' ? 'B' : 'A') + jws.slice(at + 1)
}

/** 60 kB were aimed at; the engine with the sentences of every check outgrew them. See adr/0033-verifier-page.md. [bytes] */
const MOST_BYTES = 89_300

test('the page is one file, and no heavier as it travels than what it has to carry', async () => {
  expect(gzipSync(await readFile(VERIFIER_FILE), { level: 9 }).length).toBeLessThan(MOST_BYTES)
  expect((await stat(VERIFIER_FILE)).size).toBeGreaterThan(50_000)
})

describe('the saved verifier page, opened from disk with the network off', () => {
  test('says intact, key unknown, where nobody vouches for the key', async () => {
    const { page, errors, requests } = await savedPage()
    const verdict = await verdictOf(page, [file('a.jws', summaryOf('air-filter')), keysFile()])
    expect(verdict).toContain('Intact, key unknown')
    expect(errors).toEqual([])
    expect(requests.filter((url) => !url.startsWith('file:') && !url.startsWith('blob:'))).toEqual([])
  })

  test('says verified where the reader names the issuer', async () => {
    const { page } = await savedPage()
    await page.locator('#issuer').fill('Test service')
    const verdict = await verdictOf(page, [file('a.jws', summaryOf('air-filter')), keysFile()])
    expect(verdict).toContain('Verified')
    expect(await page.locator('#report').textContent()).toContain('Valid: the gain is')
  })

  test('takes a trust bundle, and an answer of the service as it was received', async () => {
    const { page } = await savedPage()
    const { keys } = site.jwks as { readonly keys: readonly unknown[] }
    const bundle = { keys: keys.map((jwk) => ({ jwk, issuer: 'Test service', notBefore: '2026-01-01T00:00:00Z' })) }
    const answer = JSON.stringify(site.issued.get('silencer'))
    const verdict = await verdictOf(page, [file('answer.json', answer), file('trust.json', JSON.stringify(bundle))])
    expect(verdict).toContain('Verified')
  })

  test('refuses a file of which one character was changed, and shows nothing of what it says', async () => {
    const { page, errors } = await savedPage()
    const verdict = await verdictOf(page, [file('a.jws', tampered(summaryOf('air-filter'))), keysFile()])
    expect(verdict).toContain('Refused')
    const text = await page.locator('#report').textContent()
    expect(text).not.toContain('What it says')
    expect(text).not.toContain('Valid')
    expect(errors).toEqual([])
  })

  test('names the runs that are not the signed ones', async () => {
    const { page } = await savedPage()
    const comparison = demoComparison('air-filter', 1)
    const altered = {
      ...comparison,
      runs: comparison.runs.map((run) => (run.id === 'b2' ? { ...run, sequence: 99 } : run)),
    }
    await verdictOf(page, [
      file('a.jws', summaryOf('air-filter')),
      keysFile(),
      file('comparison.json', JSON.stringify(altered)),
    ])
    expect(await page.locator('#report').textContent()).toContain('Runs that are missing or other than signed: b2.')
  })

  test('says what it makes of files that are none of the things it reads', async () => {
    const { page, errors } = await savedPage()
    const verdict = await verdictOf(page, [file('notes.txt', 'hello'), file('other.json', '{"a":1}')])
    expect(verdict).toContain('There is no signed summary')
    expect(await page.locator('#report').textContent()).toMatch(
      /notes\.txt: not recognised.*other\.json: not recognised/,
    )
    expect(errors).toEqual([])
  })

  test('survives a comparison that cannot be judged', async () => {
    const { page } = await savedPage()
    const hostile = { runs: [null, { id: 4 }], protocol: { toString: 1 } }
    const verdict = await verdictOf(page, [
      file('a.jws', summaryOf('air-filter')),
      keysFile(),
      file('comparison.json', JSON.stringify(hostile)),
    ])
    expect(verdict).not.toContain('Verified')
  })

  test('shows names and texts as text, whatever they hold', async () => {
    const { page, errors } = await savedPage()
    await verdictOf(page, [file('<img src=x onerror=alert(1)>.jws', summaryOf('air-filter')), keysFile()])
    expect(await page.locator('#report img').count()).toBe(0)
    expect(await page.locator('#report').textContent()).toContain('<img src=x onerror=alert(1)>.jws')
    expect(errors).toEqual([])
  })

  test('begins again when asked to', async () => {
    const { page } = await savedPage()
    await verdictOf(page, [file('a.jws', summaryOf('air-filter'))])
    await page.locator('#clear').click()
    expect(await page.locator('#report').textContent()).toBe('')
  })
})

describe('the same bytes in Chromium as in Node', () => {
  test.each(demoNames)('%s: the result that the worker computes is the signed one, byte for byte', async (name) => {
    const { page } = await savedPage()
    const files = [
      { name: 'a.jws', bytes: summaryOf(name) },
      { name: 'keys.json', bytes: JSON.stringify(site.jwks) },
      { name: 'comparison.json', bytes: JSON.stringify(demoComparison(name, 1)) },
    ]
    const { report, stages } = await page.evaluate(async (given) => {
      const program = (document.getElementById('worker-program') as HTMLScriptElement).text
      const worker = new Worker(URL.createObjectURL(new Blob([program], { type: 'text/javascript' })))
      const seen: string[] = []
      const answer = await new Promise<unknown>((resolve) => {
        worker.addEventListener('message', ({ data }) => {
          if (data.kind === 'stage') seen.push(data.stage)
          else resolve(data.report)
        })
        const encoder = new TextEncoder()
        worker.postMessage({ files: given.map((each) => ({ ...each, bytes: encoder.encode(each.bytes) })), issuer: '' })
      })
      return { report: answer as VerificationReport, stages: seen }
    }, files)
    expect(report.recomputed).toMatchObject({ answer: 'identical', memberCount: 0 })
    expect(stages).toEqual(['reading', 'verifying', 'recomputing'])
  })
})
