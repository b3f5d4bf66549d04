/** The same input gives the same bytes on every Node version that is supported; the testing kit runs on each of them. */
import { execFile } from 'node:child_process'
import { cp } from 'node:fs/promises'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { describe, expect, test } from 'vitest'
import { installConsumer } from '../support/packed-package.ts'
import { root } from '../support/source-files.ts'

const here = fileURLToPath(new URL('.', import.meta.url))
const versions = ['20', '22', '24'] as const
const node = (version: string) => join(here, `node_modules/node-${version}/bin/node`)

/** What a script prints under a version of Node, which says first that it is that version. */
async function printed(version: string, script: string, cwd = root): Promise<unknown> {
  const { stdout: named } = await promisify(execFile)(node(version), ['--version'])
  expect(named).toMatch(new RegExp(`^v${version}\\.`))
  const { stdout } = await promisify(execFile)(node(version), [script], { cwd, maxBuffer: 1e8 })
  return JSON.parse(stdout)
}

describe.each([
  ['results of generated comparisons', join(here, 'dist/runtimes/result-digests.js'), 201],
  ['results and pages of the demo', join(root, 'packages/service/dist/demo/page-digests.js'), 20],
] as const)('%s', (_, script, least) => {
  test(`are the same bytes on Node ${versions.join(', ')}`, async () => {
    const [first, ...others] = await Promise.all(versions.map((version) => printed(version, script)))
    for (const other of others) expect(other).toEqual(first)
    const digests = Object.values(first as Record<string, string>)
    expect(digests.length).toBeGreaterThanOrEqual(least)
    expect(new Set(digests).size).toBeGreaterThan(least * 0.9)
  }, 600_000)
})

describe('the handlers for Mock Service Worker', () => {
  // Version 3 asks for Node 22; with 20 every intercepted request fails.
  test.each([
    ['2.10.0', ['20', '22', '24']],
    ['2.15.0', ['20', '22', '24']],
    ['3.0.5', ['22', '24']],
  ] as const)(
    'msw %s',
    async (release, onNode) => {
      const consumer = await installConsumer([`msw@${release}`])
      try {
        await cp(join(here, 'msw.mjs'), join(consumer.folder, 'msw.mjs'))
        for (const version of onNode) {
          const outcome = await printed(version, 'msw.mjs', consumer.folder)
          expect(outcome, `on Node ${version}`).toEqual({ verdict: 'verified', status: 200, received: 2 })
        }
      } finally {
        await consumer.remove()
      }
    },
    300_000,
  )
})
