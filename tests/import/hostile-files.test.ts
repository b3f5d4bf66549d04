/** The answer to hostile bytes is always one of our errors, with a file and a fix. */
import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  ImportError,
  proposeColumns,
  readCsv,
  readSessionFolder,
  surveySessionFolder,
} from '../../packages/sdk/src/import/index.ts'

const pieces = fc.constantFrom(
  ...[
    'Speed',
    'Power',
    'side',
    'purpose',
    'baseline',
    'measured',
    'file',
    ',',
    ';',
    '\t',
    '|',
    '"',
    '#',
    '\n',
    '\r',
    ' ',
  ],
  ...[
    '3000',
    '20.1',
    '20,1',
    '1e999',
    'NaN',
    '-0',
    '\ufeff',
    '\0',
    '°',
    '-',
    ':',
    '{',
    '}',
    '[',
    ']',
    '&a',
    '*a',
    '!!js',
  ],
  ...['protocol: x', '\n  ', '\n- ', 'runs', 'columns', '__proto__', 'constructor', 'gear [x]', '<<', '%', '|-', '>'],
)
const text = fc.array(pieces, { maxLength: 60 }).map((parts) => new TextEncoder().encode(parts.join('')))
const bytes = fc.oneof(text, fc.uint8Array({ maxLength: 200 }))

const columns = { engineSpeed: { header: 'Speed', unit: 'rpm' }, wheelPower: { header: 'Power', unit: 'kW' } } as const

/** Anything but a result or our own error is thrown on. */
async function answered(work: () => unknown): Promise<void> {
  try {
    await work()
  } catch (error) {
    if (!(error instanceof ImportError)) throw error
    for (const { detail } of error.problems) expect(detail).not.toBe('')
  }
}

const check = (run: (content: Uint8Array) => unknown) =>
  fc.assert(
    fc.asyncProperty(bytes, (content) => answered(() => run(content))),
    { numRuns: 150, seed: 7 },
  )

describe('hostile bytes', () => {
  test('as the file of a run', () => check((content) => readCsv(content, { name: 'x.csv', columns })))

  test('as a file whose columns are proposed', () => check((content) => proposeColumns(content, { name: 'x.csv' })))

  test('as a session file', () => check((content) => readSessionFolder(async () => content)))

  test('as a run sheet beside a good session file', () => {
    const session = new TextEncoder().encode('protocol: motorcycle-rollers\n')
    return check((content) => surveySessionFolder(async (name) => (name === 'session.yaml' ? session : content)))
  })

  test('a member called __proto__ changes nothing but its own document', async () => {
    const session = new TextEncoder().encode('protocol: x\n__proto__: { polluted: true }\n')
    await answered(() => readSessionFolder(async () => session))
    expect(Reflect.get({}, 'polluted')).toBeUndefined()
  })
})
