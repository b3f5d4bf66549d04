import { describe, expect, test } from 'vitest'
import { importTarget, type SourceFile, sourceFiles } from './support/source-files.ts'

const sdk = sourceFiles('packages/sdk/src')
const service = sourceFiles('packages/service')
const tests = sourceFiles('tests')

const SDK = 'packages/sdk/src/'

/** What each folder of the SDK may import, beside itself. */
const ALLOWED: Readonly<Record<string, readonly string[]>> = {
  contract: [],
  engine: ['contract'],
  integrity: ['contract'],
  local: ['contract', 'engine', 'integrity'],
  client: ['contract', 'integrity'],
  import: ['contract', 'integrity'],
  testing: ['contract', 'engine', 'integrity', 'local', 'client'],
  cli: ['contract', 'engine', 'integrity', 'local', 'client', 'import'],
}

/** Floors of the engine: a folder may import what stands before it, never what stands after. */
const ENGINE_FLOORS = [
  'numerics',
  'physics',
  'statistics',
  'inputs',
  'evidence',
  'protocol',
  'claims',
  'result',
  'study',
]

const folderOf = (path: string) => path.slice(SDK.length).split('/')[0] ?? ''
const inFolder = (folder: string) => sdk.filter(({ path }) => path.startsWith(`${SDK}${folder}/`))

function offences(files: readonly SourceFile[], isOffence: (file: SourceFile, target: string) => boolean): string[] {
  return files.flatMap((file) =>
    file.imports
      .filter((specifier) => isOffence(file, importTarget(file, specifier)))
      .map((specifier) => `${file.path} -> ${specifier}`),
  )
}

describe('direction of imports', () => {
  test('every folder of the SDK is in the table', () => {
    expect([...new Set(sdk.map(({ path }) => folderOf(path)))].filter((folder) => !(folder in ALLOWED))).toEqual([])
  })

  test.each(Object.keys(ALLOWED))('%s imports only what its place allows', (folder) => {
    const allowed = [folder, ...(ALLOWED[folder] ?? [])]
    expect(
      offences(inFolder(folder), (_, target) => target.startsWith(SDK) && !allowed.includes(folderOf(target))),
    ).toEqual([])
  })

  test('the SDK never reaches into the service', () => {
    expect(
      offences(sdk, (_, target) => target.startsWith('packages/service') || target.startsWith('@fairpull/service')),
    ).toEqual([])
  })

  test('the service takes the SDK by its published doors only', () => {
    expect(offences(service, (_, target) => target.startsWith('packages/sdk'))).toEqual([])
  })

  test('inside the engine data flow one way', () => {
    const floorOf = (path: string) => ENGINE_FLOORS.indexOf(path.slice(`${SDK}engine/`.length).split('/')[0] ?? '')
    const isUpward = (file: SourceFile, target: string) =>
      target.startsWith(`${SDK}engine/`) && floorOf(file.path) >= 0 && floorOf(target) > floorOf(file.path)
    expect(offences(inFolder('engine'), isUpward)).toEqual([])
  })

  test('no check of a protocol imports another', () => {
    const checks = `${SDK}engine/protocol/checks/`
    expect(
      offences(inFolder('engine'), (file, target) => file.path.startsWith(checks) && target.startsWith(checks)),
    ).toEqual([])
  })
})

describe('circles of imports', () => {
  test('no file is reached again from what it imports', () => {
    const files = new Map([...sdk, ...service].map((file) => [file.path, file]))
    const targets = ({ path, imports }: SourceFile) =>
      imports.map((specifier) => importTarget({ path, imports, text: '' }, specifier)).filter((path) => files.has(path))
    const settled = new Set<string>()
    const circles: string[] = []
    const visit = (path: string, trail: readonly string[]): void => {
      if (trail.includes(path)) circles.push([...trail.slice(trail.indexOf(path)), path].join(' -> '))
      const file = files.get(path)
      if (file === undefined || settled.has(path) || trail.includes(path)) return
      for (const target of targets(file)) visit(target, [...trail, path])
      settled.add(path)
    }
    for (const path of files.keys()) visit(path, [])
    expect(circles).toEqual([])
  })
})

describe('purity of engine and integrity', () => {
  const pure = [...inFolder('engine'), ...inFolder('integrity'), ...inFolder('contract')]

  test('they import nothing of Node', () => {
    expect(offences(pure, (_, target) => target.startsWith('node:'))).toEqual([])
  })

  test.each([
    ['a clock', /\bDate\.now\b|\bnew Date\(\s*\)|\bperformance\./],
    ['randomness of their own', /\bMath\.random\b|\bgetRandomValues\b|\brandomUUID\b/],
    ['the outside world', /\bfetch\(|\bprocess\.|\bconsole\.|\bsetTimeout\b|\blocalStorage\b/],
  ])('they have no %s', (_, pattern) => {
    expect(pure.filter(({ text }) => pattern.test(text)).map(({ path }) => path)).toEqual([])
  })

  test('no lint or coverage mark silences a check in them', () => {
    const silenced = pure.filter(({ text }) => /biome-ignore|@ts-ignore|@ts-expect-error|istanbul|v8 ignore/.test(text))
    expect(silenced.map(({ path }) => path)).toEqual([])
  })

  test('the browser doors import nothing of Node', () => {
    const doors = [...inFolder('client'), ...inFolder('local'), ...inFolder('import')]
    expect(offences(doors, (_, target) => target.startsWith('node:'))).toEqual([])
  })
})

describe('size', () => {
  test('no source file is longer than 400 lines', () => {
    const long = [...sdk, ...service, ...tests].filter(({ text }) => text.split('\n').length > 401)
    expect(long.map(({ path }) => path)).toEqual([])
  })

  test('the walk sees the source', () => {
    expect(sdk.length).toBeGreaterThan(50)
    expect(sdk.some(({ imports }) => imports.length > 0)).toBe(true)
  })
})

describe('citations', () => {
  test('every test that a comment names is there', () => {
    const named = [...sdk, ...service].flatMap(({ path, text }) =>
      [...text.matchAll(/tests\/[\w./-]+\.test\.ts/g)].map(([cited]) => ({ path, cited })),
    )
    const files = new Set(tests.map(({ path }) => path))
    expect(named.length).toBeGreaterThan(10)
    expect(named.filter(({ cited }) => !files.has(cited)).map(({ path, cited }) => `${path}: ${cited}`)).toEqual([])
  })
})

describe('manners', () => {
  test('no error is recognised by its message', () => {
    expect(
      [...sdk, ...service]
        .filter(({ text }) => /\.message\s*(===|\.includes|\.match|\.startsWith)/.test(text))
        .map(({ path }) => path),
    ).toEqual([])
  })

  test('there is no default export', () => {
    expect([...sdk, ...service].filter(({ text }) => /^export default /m.test(text)).map(({ path }) => path)).toEqual(
      [],
    )
  })
})
