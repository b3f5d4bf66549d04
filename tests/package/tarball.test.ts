/** The packed package as tools and people see it: what is in it, and whether every resolver finds code and types. */
import { existsSync, readFileSync } from 'node:fs'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, extname, join } from 'node:path'
import { checkPackage, createPackageFromTarballData } from '@arethetypeswrong/core'
import { publint } from 'publint'
import { formatMessage } from 'publint/utils'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type PackedPackage, pack } from '../support/packed-package.ts'
import { root } from '../support/source-files.ts'

const sdk = join(root, 'packages/sdk')
let folder: string
let packed: PackedPackage
let bytes: Buffer

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'fairpull-pack-'))
  packed = await pack(folder)
  bytes = readFileSync(packed.tarball)
})

afterAll(() => rm(folder, { recursive: true, force: true }))

test('publint finds nothing, suggestions included', async () => {
  const tarball = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length) as ArrayBuffer
  const { messages, pkg } = await publint({ pack: { tarball }, level: 'suggestion' })
  expect(messages.map((message) => formatMessage(message, pkg))).toEqual([])
})

/** What a package of ES modules alone is bound to show: resolvers that know no `exports`, and types under `require`. */
const OF_ESM_ALONE = ['NoResolution:node10', 'CJSResolvesToESM:node16-cjs']

test('types resolve for ES modules, CommonJS and bundlers at every entry', async () => {
  const checked = await checkPackage(createPackageFromTarballData(new Uint8Array(bytes)))
  if (checked.types === false) throw new Error('the package has no types')
  const problems = checked.problems.map((problem) =>
    'resolutionKind' in problem ? `${problem.kind}:${problem.resolutionKind}` : problem.kind,
  )
  expect(problems.filter((problem) => !OF_ESM_ALONE.includes(problem))).toEqual([])
  expect(Object.keys(checked.entrypoints).length).toBeGreaterThan(8)
})

const COMPILED = ['.js', '.js.map', '.d.ts', '.d.ts.map']

test('dist is what src compiles to, and what the build bundles; nothing that src no longer has', () => {
  const sources = packed.files.filter((path) => path.startsWith('src/') && /(?<!\.d)\.ts$/.test(path))
  const compiled = sources.flatMap((path) => COMPILED.map((end) => path.replace(/^src(.*)\.ts$/, `dist$1${end}`)))
  const bundled = ['dist/testing/memory-app.js', 'dist/testing/memory-app.licences.txt']
  expect(packed.files.filter((path) => path.startsWith('dist/'))).toEqual([...compiled, ...bundled].sort())
})

test('the source maps lead to sources that are in the package', () => {
  const maps = packed.files.filter((path) => path.endsWith('.map'))
  const lost = maps.filter((path) => {
    const { sources } = JSON.parse(readFileSync(join(sdk, path), 'utf8')) as { sources: string[] }
    return sources.some((source) => !packed.files.includes(join(dirname(path), source)))
  })
  expect(lost).toEqual([])
  expect(maps.length).toBeGreaterThan(400)
})

test('files of the package', async () => {
  // A folder of sources in one line: its files follow from the test above, and come and go with the work.
  const shown = new Set(
    packed.files
      .filter((path) => !path.startsWith('dist/'))
      .map((path) => (path.startsWith('src/') ? `${dirname(path)}/*${extname(path)}` : path)),
  )
  await expect(`${[...shown].sort().join('\n')}\n`).toMatchFileSnapshot('files.txt')
})

test('the licence of the package is that of the project', () => {
  expect(readFileSync(join(sdk, 'LICENSE'), 'utf8')).toBe(readFileSync(join(root, 'LICENSE'), 'utf8'))
  expect(packed.files).toContain('LICENSE')
  expect(existsSync(join(sdk, 'README.md'))).toBe(true)
})
