/** The packed package, bundled by somebody for their page, in a browser. */
import { testTrust } from '@fairpull/sdk/testing'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { bundledPage, compile, expectedDigest, given, installedConsumers } from '../consumers/consumers.ts'
import type { Consumer } from '../support/packed-package.ts'
import { type Observed, startBrowser, watchedPage } from './browser.ts'

let consumer: Consumer
let browser: Awaited<ReturnType<typeof startBrowser>>
let observed: Observed

const ORIGIN = 'https://page-of-somebody.test'

beforeAll(async () => {
  consumer = await installedConsumers()
  browser = await startBrowser()
  const context = await browser.newContext()
  // A secure context, as WebCrypto asks for; nothing leaves the machine.
  await context.route('**/*', (route) =>
    route.request().url() === `${ORIGIN}/`
      ? route.fulfill({ contentType: 'text/html', body: '<!doctype html><title>page</title>' })
      : route.abort(),
  )
  observed = await watchedPage(context)
  await observed.page.goto(`${ORIGIN}/`)
}, 240_000)

afterAll(async () => {
  await browser?.close()
  await consumer?.remove()
})

test('the page compiles, assesses and verifies, and comes to the same bytes as Node', async () => {
  await compile(consumer, 'bundler')
  await observed.page.addScriptTag({ content: await bundledPage(consumer) })
  const { comparison, summary } = given
  const outcome = await observed.page.evaluate(
    (what) =>
      (globalThis as unknown as { outcomeOfConsumer: (given: unknown) => Promise<unknown> }).outcomeOfConsumer(what),
    { comparison, summary, trust: testTrust },
  )
  expect(outcome).toEqual({
    digest: expectedDigest,
    verdict: 'verified',
    recomputed: 'identical',
    columns: 2,
    away: 'ERR_NETWORK',
  })
}, 120_000)
