/** The entries of the package: which of them run in a browser, what they weigh, and that `require` opens them too. */
import { execFile } from 'node:child_process'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { describe, expect, test } from 'vitest'
import manifest from '../../packages/sdk/package.json' with { type: 'json' }
import { root } from '../support/source-files.ts'
import { browserBundle } from './browser-bundle.ts'

const everything = (entry: string) => `export * from '${entry}'`
const entries = Object.keys(manifest.exports)
  .filter((path) => path !== './package.json')
  .map((path) => path.replace('.', manifest.name))

/** The entries that need Node: the fake service, and the command. */
const OF_NODE = ['@fairpull/sdk/testing', '@fairpull/sdk/testing/msw', '@fairpull/sdk/node']

describe('in a browser', () => {
  test.each(entries.filter((entry) => !OF_NODE.includes(entry)))('%s asks for nothing of Node', async (entry) => {
    expect((await browserBundle(everything(entry))).nodeModules).toEqual([])
  })

  test('an entry that does need Node would be noticed', async () => {
    expect((await browserBundle(everything('@fairpull/sdk/node'))).nodeModules).toContain('node:fs/promises')
  })
})

/**
 * Budgets: gzip, minified, before anything is asked. [byte]
 *
 * 10,000 are the aim for verification. Of what it takes, `jose` is 4,050, which no bundler can cut further: half of that is
 * for forms of keys that are never handed to it. Who trusts keys also carries what reads a trust bundle.
 */
const budgets: readonly (readonly [string, string, number, number])[] = [
  ['a summary verified', "export { verifySummary } from '@fairpull/sdk/verify'", 10_000, 18_000],
  ['verified under a trust bundle', "export { readTrust, verifySummary } from '@fairpull/sdk/verify'", 12_600, 20_500],
  ['the client', "export { Fairpull } from '@fairpull/sdk'", 10_000, 34_000],
]

describe('weight', () => {
  test.each(budgets)('%s', async (_, text, mostAtOnce, mostAltogether) => {
    const { atOnce, altogether } = await browserBundle(text)
    expect(atOnce).toBeLessThan(mostAtOnce)
    expect(altogether).toBeLessThan(mostAltogether)
    expect(atOnce).toBeGreaterThan(5_000)
  })

  test('the types of the contract weigh nothing', async () => {
    expect((await browserBundle("import '@fairpull/sdk/contract'")).altogether).toBeLessThan(100)
  })
})

describe('require', () => {
  test.each(entries)('%s: the same names as by import', async (entry) => {
    const script = `
      const required = Object.keys(require('${entry}')).sort()
      import('${entry}').then((module) => {
        const imported = Object.keys(module).sort()
        console.log(JSON.stringify({ required, imported }))
      })`
    const cwd = join(root, 'tests')
    const { stdout } = await promisify(execFile)(process.execPath, ['--input-type=commonjs', '--eval', script], { cwd })
    const { required, imported } = JSON.parse(stdout) as Record<'required' | 'imported', readonly string[]>
    expect(required).toEqual(imported)
    expect(imported.length).toBeGreaterThan(0)
  })
})
