/** Headless Chromium, and what a page did that it should not have. */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core'

/** Starts Chromium. Its own calls home are switched off: what is left is what the pages ask for. */
export function startBrowser(): Promise<Browser> {
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: [
      ...['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-sync'],
      ...['--disable-background-networking', '--disable-component-update'],
    ],
  })
}

/** What happened while a page was open. */
export interface Observed {
  readonly page: Page
  /** Addresses asked for, in order. */
  readonly requests: string[]
  /** Errors on the console and of scripts; a breach of the policy is one. */
  readonly errors: string[]
}

/** A page that is watched from its beginning. */
export async function watchedPage(context: BrowserContext): Promise<Observed> {
  const page = await context.newPage()
  const [requests, errors]: [string[], string[]] = [[], []]
  page.on('request', (request) => requests.push(request.url()))
  page.on('console', (message) => {
    if (message.type() === 'error') errors.push(message.text())
  })
  page.on('pageerror', (error) => errors.push(String(error)))
  page.on('dialog', (dialog) => {
    errors.push(`dialog: ${dialog.message()}`)
    void dialog.dismiss()
  })
  return { page, requests, errors }
}

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

/** Breaches of WCAG 2.2 AA that axe-core calls serious or critical, each with where. */
export async function seriousBreaches(page: Page): Promise<readonly string[]> {
  await page.evaluate(axe)
  return page.evaluate(async () => {
    const { axe: tool } = globalThis as unknown as {
      axe: {
        run(options: object): Promise<{ violations: { id: string; impact: string; nodes: { html: string }[] }[] }>
      }
    }
    const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']
    const { violations } = await tool.run({ runOnly: tags })
    return violations
      .filter(({ impact }) => impact === 'serious' || impact === 'critical')
      .flatMap(({ id, nodes }) => nodes.map(({ html }) => `${id}: ${html.slice(0, 200)}`))
  })
}
