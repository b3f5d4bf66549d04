/** The packed package, installed where nothing of this project is in reach: it compiles, runs, and gives the same bytes. */
import { cp, writeFile } from 'node:fs/promises'
import { runInNewContext } from 'node:vm'
import { testTrust } from '@fairpull/sdk/testing'
import { afterAll, beforeAll, expect, test } from 'vitest'
import type { Consumer } from '../support/packed-package.ts'
import { bundledPage, compile, expectedDigest, given, installedConsumers, run } from './consumers.ts'

/** What a browser has and a bare context has not; nothing of Node is among it. */
const OF_BROWSERS = [
  ...['AbortController', 'AbortSignal', 'Blob', 'DOMException', 'Headers', 'ReadableStream', 'Request', 'Response'],
  ...['TextDecoder', 'TextEncoder', 'URL', 'URLSearchParams', 'atob', 'btoa', 'clearTimeout', 'crypto', 'fetch'],
  ...['performance', 'queueMicrotask', 'setTimeout', 'structuredClone'],
]

let consumer: Consumer

beforeAll(async () => {
  consumer = await installedConsumers()
}, 240_000)

afterAll(() => consumer?.remove())

test('ES modules', async () => {
  await compile(consumer, 'esm')
  expect(await run(consumer, 'esm/dist/main.js')).toEqual({
    package: '@fairpull/sdk',
    digest: expectedDigest,
    verdict: 'verified',
    recomputed: 'identical',
    firstLine: 'consumer',
    csv: 'function',
  })
}, 120_000)

test('CommonJS', async () => {
  await compile(consumer, 'commonjs')
  expect(await run(consumer, 'commonjs/dist/main.cjs')).toEqual({ digest: expectedDigest, away: 'ERR_NETWORK' })
}, 120_000)

test('a bundler', async () => {
  await compile(consumer, 'bundler')
  const page = await bundledPage(consumer)
  const context = Object.fromEntries(OF_BROWSERS.map((name) => [name, Reflect.get(globalThis, name)]))
  const { comparison, summary } = given
  const call = `outcomeOfConsumer(${JSON.stringify({ comparison, summary, trust: testTrust })})`
  expect(await runInNewContext(`${page}\n${call}`, context)).toEqual({
    digest: expectedDigest,
    verdict: 'verified',
    recomputed: 'identical',
    columns: 2,
    away: 'ERR_NETWORK',
  })
}, 120_000)

test('a programme that uses what is not there would not compile', async () => {
  await cp(`${consumer.folder}/esm`, `${consumer.folder}/wrong`, { recursive: true })
  await writeFile(`${consumer.folder}/wrong/main.ts`, "import { assessEverything } from '@fairpull/sdk/engine'\n")
  await expect(compile(consumer, 'wrong')).rejects.toThrow('assessEverything')
})
