import { createHash } from 'node:crypto'
import { describe, expect, test } from 'vitest'
import {
  ImportError,
  type ImportProblem,
  type RunSource,
  readComparisonFile,
} from '../../packages/sdk/src/import/index.ts'

const columns = {
  engineSpeed: { header: 'Speed', unit: 'rpm' },
  wheelPower: { header: 'Power', unit: 'kW' },
}

const csv = 'Speed,Power\n3000,20.1\n3050,20.6\n'
const files: Readonly<Record<string, string>> = { 'runs/b1.csv': csv, 'runs/m1.csv': csv.replace('20.6', '21.4') }

async function readFile(name: string): Promise<Uint8Array> {
  const text = files[name]
  if (text === undefined) throw new Error('no such file')
  return new TextEncoder().encode(text)
}

const document = {
  protocol: 'motorcycle-rollers@1',
  columns,
  runs: [
    { id: 'b1', side: 'baseline', purpose: 'measured', file: 'runs/b1.csv' },
    { id: 'm1', side: 'modified', purpose: 'measured', file: 'runs/m1.csv' },
  ],
}

function read(value: unknown) {
  return readComparisonFile(typeof value === 'string' ? value : JSON.stringify(value), readFile)
}

async function problemsOf(value: unknown): Promise<readonly ImportProblem[]> {
  try {
    await read(value)
  } catch (error) {
    if (error instanceof ImportError) return error.problems
    throw error
  }
  throw new TypeError('the file was read')
}

function withRun(parts: object) {
  const [first, second] = document.runs
  return { ...document, runs: [{ ...first, ...parts }, second] }
}

describe('the local form of a comparison', () => {
  test('a run gets the channels of its file and the digest of its bytes; what is local stays behind', async () => {
    const comparison = await read(document)
    expect(comparison).toEqual({
      protocol: 'motorcycle-rollers@1',
      runs: [
        {
          id: 'b1',
          side: 'baseline',
          purpose: 'measured',
          source: { name: 'b1.csv', sha256: createHash('sha256').update(csv).digest('hex') },
          channels: {
            engineSpeed: { unit: 'rpm', values: [3000, 3050] },
            wheelPower: { unit: 'kW', values: [20.1, 20.6] },
          },
        },
        expect.objectContaining({
          id: 'm1',
          channels: expect.objectContaining({ wheelPower: { unit: 'kW', values: [20.1, 21.4] } }),
        }),
      ],
    })
  })

  test('columns of a run go before those of the document', async () => {
    const own = { ...columns, wheelPower: { header: 'Power', unit: 'hp' } }
    const { runs } = await read(withRun({ columns: own }))
    expect(runs.map(({ channels }) => channels?.wheelPower?.unit)).toEqual(['hp', 'kW'])
  })

  test('a comparison without files is read as it is', async () => {
    const reported = {
      ...document,
      columns: undefined,
      runs: document.runs.map(({ file: _, ...run }) => ({
        ...run,
        reported: { peakPower: { value: 70, unit: 'kW' } },
      })),
    }
    expect((await read(reported)).runs[0]).toMatchObject({ id: 'b1', reported: { peakPower: { value: 70 } } })
  })

  test('a further format is a further source', async () => {
    const source: RunSource = {
      format: 'two numbers a line',
      endings: ['.csv'],
      read: (bytes, { name }) => ({
        engineSpeed: { unit: 'rpm', values: [10, bytes.byteLength] },
        wheelPower: { unit: 'kW', values: [1, name.length] },
      }),
    }
    const comparison = await readComparisonFile(JSON.stringify(document), readFile, { sources: [source] })
    expect(comparison.runs[0]?.channels?.engineSpeed?.values).toEqual([10, csv.length])
  })
})

describe('what is wrong is named with its place', () => {
  test.each([
    ['a file that is not there', withRun({ file: 'runs/B1.csv' }), 'ERR_FILE_NOT_FOUND', '/runs/0/file'],
    [
      'a name that leads out of the folder',
      withRun({ file: '../secret.csv' }),
      'ERR_FILE_OUTSIDE_FOLDER',
      '/runs/0/file',
    ],
    ['an absolute name', withRun({ file: '/etc/hosts.csv' }), 'ERR_FILE_OUTSIDE_FOLDER', '/runs/0/file'],
    ['a drive', withRun({ file: 'C:\\runs\\b1.csv' }), 'ERR_FILE_OUTSIDE_FOLDER', '/runs/0/file'],
    [
      'a way out between back strokes',
      withRun({ file: 'runs\\..\\..\\b1.csv' }),
      'ERR_FILE_OUTSIDE_FOLDER',
      '/runs/0/file',
    ],
    ['a format nobody knows', withRun({ file: 'runs/b1.xlsx' }), 'ERR_FILE_FORMAT', '/runs/0/file'],
    ['a file without a name', withRun({ file: '' }), 'ERR_COMPARISON_REFUSED', '/runs/0/file'],
    ['both a file and channels', withRun({ channels: {} }), 'ERR_COMPARISON_REFUSED', '/runs/0/file'],
    ['no columns anywhere', { ...document, columns: undefined }, 'ERR_MAPPING', '/columns'],
    [
      'a channel that is none',
      { ...document, columns: { engineSped: columns.engineSpeed } },
      'ERR_MAPPING',
      '/columns/engineSped',
    ],
    [
      'a unit of another kind',
      withRun({ columns: { engineSpeed: { header: 'Speed', unit: 'kW' } } }),
      'ERR_MAPPING',
      '/runs/0/columns/engineSpeed/unit',
    ],
    [
      'no unit',
      { ...document, columns: { engineSpeed: { header: 'Speed' } } },
      'ERR_MAPPING',
      '/columns/engineSpeed/unit',
    ],
    [
      'no header',
      { ...document, columns: { engineSpeed: { unit: 'rpm' } } },
      'ERR_MAPPING',
      '/columns/engineSpeed/header',
    ],
    [
      'a member of a column nobody knows',
      { ...document, columns: { engineSpeed: { ...columns.engineSpeed, scale: 2 } } },
      'ERR_MAPPING',
      '/columns/engineSpeed/scale',
    ],
    ['a delimiter that is none', { ...document, csv: { delimiter: ' ' } }, 'ERR_COMPARISON_REFUSED', '/csv/delimiter'],
    [
      'a member of csv nobody knows',
      { ...document, csv: { decimals: ',' } },
      'ERR_COMPARISON_REFUSED',
      '/csv/decimals',
    ],
    ['a member nobody knows', { ...document, sides: 2 }, 'ERR_UNKNOWN_MEMBER', '/sides'],
    ['runs that are no list', { ...document, runs: {} }, 'ERR_WRONG_TYPE', '/runs'],
  ])('%s', async (_, value, code, pointer) => {
    const [problem] = await problemsOf(value)
    expect(problem).toMatchObject({ code, pointer })
  })

  test('a mistyped channel is recognised', async () => {
    const [problem] = await problemsOf({ ...document, columns: { engineSped: columns.engineSpeed } })
    expect(problem?.fix).toContain('Did you mean "engineSpeed"?')
  })

  test('every run’s problems are named, not only the first one’s', async () => {
    const runs = document.runs.map((run) => ({ ...run, file: `${run.file}x.csv` }))
    expect((await problemsOf({ ...document, runs })).map(({ file }) => file)).toEqual([
      'runs/b1.csvx.csv',
      'runs/m1.csvx.csv',
    ])
  })

  test('a fault inside a file names the file, not the comparison', async () => {
    const named = { ...columns, wheelPower: { header: 'Leistung', unit: 'kW' } }
    expect((await problemsOf({ ...document, columns: named }))[0]).toMatchObject({
      code: 'ERR_COLUMN_NOT_FOUND',
      file: 'runs/b1.csv',
    })
  })

  test('a comma too many in the JSON is found by its line', async () => {
    expect((await problemsOf('{\n  "protocol": "x",\n  "runs": [],\n}\n'))[0]).toMatchObject({
      code: 'ERR_COMPARISON_NOT_JSON',
      line: 4,
    })
  })

  test('a name that occurs twice is found by its pointer', async () => {
    expect((await problemsOf('{ "protocol": "x", "protocol": "y" }'))[0]).toMatchObject({
      code: 'ERR_COMPARISON_NOT_JSON',
      pointer: '/protocol',
    })
  })

  test('a JSON text that is no object says how to begin', async () => {
    expect((await problemsOf('[]'))[0]?.fix).toContain('motorcycle-rollers')
  })
})
