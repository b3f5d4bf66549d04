import { describe, expect, test } from 'vitest'
import {
  ImportError,
  type ImportProblem,
  readSessionFolder,
  sessionTemplate,
  surveySessionFolder,
} from '../../packages/sdk/src/import/index.ts'
import { inputDigests } from '../../packages/sdk/src/integrity/index.ts'
import { demoComparison } from '../../packages/service/demo/scenario/index.ts'
import { sessionFolderOf } from './session-files.ts'

type Files = Readonly<Record<string, string>>

function reading(files: Files) {
  return async (name: string) => {
    const text = files[name]
    if (text === undefined) throw new Error('there is no such file')
    return new TextEncoder().encode(text)
  }
}

async function problemsOf(files: Files): Promise<readonly ImportProblem[]> {
  try {
    await readSessionFolder(reading(files))
  } catch (error) {
    if (error instanceof ImportError) return error.problems
    throw error
  }
  throw new TypeError('the folder was read')
}

const session = `protocol: motorcycle-rollers@1
columns:
  engineSpeed: { header: Speed, unit: rpm }
  wheelPower: { header: Power, unit: kW }
mountings:
  - id: m1
    setup: { gear: 5 }
    conditions:
      stationPressure: 99.2 kPa
`
const sheet = `file,side,mounting,purpose,tyre pressure [kPa],tyre pressure state
b1.csv,baseline,m1,measured,250,set-cold
m1.csv,modified,m1,measured,,set-cold
`
const csv = 'Speed,Power\n3000,20.1\n3050,20.6\n'
const folder: Files = { 'session.yaml': session, 'runs.csv': sheet, 'b1.csv': csv, 'm1.csv': csv.replace('20.6', '21') }
const withSession = (text: string): Files => ({ ...folder, 'session.yaml': text })
const withSheet = (text: string): Files => ({ ...folder, 'runs.csv': text })

describe('a session folder', () => {
  test('of the demo is the same comparison, to the digest, as its JSON document', async () => {
    const comparison = demoComparison('air-filter', 1)
    const read = await readSessionFolder(reading(sessionFolderOf(comparison)))
    expect(await inputDigests(read)).toEqual(await inputDigests(comparison))
  })

  test('an empty cell was not recorded: no pressure, and no state of it either', async () => {
    const { runs } = await readSessionFolder(reading(folder))
    expect(runs.map(({ setup }) => setup)).toEqual([
      { tyrePressure: { value: 250, unit: 'kPa', state: 'set-cold' } },
      undefined,
    ])
  })

  test('a run without an id is called as its file', async () => {
    const { runs } = await readSessionFolder(reading(folder))
    expect(runs.map(({ id }) => id)).toEqual(['b1', 'm1'])
  })

  test('semicolons, decimal commas, blank lines, notes and comment lines of a spreadsheet do no harm', async () => {
    const text = `# cold day;;;\n\nfile;side;purpose;tyre pressure [bar];tyre pressure state;note;\nb1.csv;baseline;measured;2,5;before-run;"said; ""fine""";\n;;;;;;\nm1.csv;modified;measured;2,45;before-run;;\n`
    const { runs } = await readSessionFolder(reading(withSheet(text)))
    expect(runs.map(({ setup }) => setup?.tyrePressure?.value)).toEqual([2.5, 2.45])
  })

  test('a run that is left out stands under its rule', async () => {
    const text = sheet
      .replace('tyre pressure state', 'tyre pressure state,left out by,reason')
      .replace('250,set-cold', '250,set-cold,slip,the tyre let go')
    const { excluded } = await readSessionFolder(reading(withSheet(text)))
    expect(excluded).toEqual([{ run: 'b1', rule: 'slip', reason: 'the tyre let go' }])
  })

  test('several runs of one file are told apart by their part', async () => {
    const { runs } = await readSessionFolder(
      reading({
        ...folder,
        'runs.csv': 'file,part,side,purpose\nall.csv,1,baseline,measured\nall.csv,2,modified,measured\n',
        'all.csv': `${csv}\n${csv.replace('20.6', '21')}`,
      }),
    )
    expect(runs.map(({ id, channels }) => [id, channels?.wheelPower?.values])).toEqual([
      ['all 1', [20.1, 20.6]],
      ['all 2', [20.1, 21]],
    ])
  })

  test('published peaks need no files', async () => {
    const { runs } = await readSessionFolder(
      reading({
        'session.yaml': 'protocol: motorcycle-rollers@1\norigin: reported\n',
        'runs.csv':
          'id,side,purpose,peak power [hp],peak power at [rpm]\nb,baseline,measured,98,10500\nm,modified,measured,103,10600\n',
      }),
    )
    expect(runs.map(({ reported, origin }) => [origin, reported?.peakPower])).toEqual([
      ['reported', { value: 98, unit: 'hp' }],
      ['reported', { value: 103, unit: 'hp' }],
    ])
  })
})

describe('a session file', () => {
  const mountingOf = async (text: string) =>
    (await readSessionFolder(reading(withSession(`${session.split('mountings:')[0]}${text}`)))).mountings?.[0]

  test.each([
    ['a number and a unit', 'ballast: 12.5 kg', { ballast: { value: 12.5, unit: 'kg' } }],
    ['the document form', 'ballast: { value: 12.5, unit: kg }', { ballast: { value: 12.5, unit: 'kg' } }],
    [
      'a pressure with its state',
      'tyrePressure: 2.5 bar set-cold',
      { tyrePressure: { value: 2.5, unit: 'bar', state: 'set-cold' } },
    ],
    ['a number where a text is wanted', 'fuel: { name: 95, batch: 007 }', { fuel: { name: '95', batch: '007' } }],
    ['a text that looks like a quantity', 'tune: 12 deg', { tune: '12 deg' }],
    ['nothing at all', 'ballast:', undefined],
    ['a group in which nothing was recorded', 'fuel: { name: , batch: }', undefined],
  ])('%s', async (_, member, setup) => {
    const read = await mountingOf(`mountings:\n  - id: m1\n    setup: { ${member} }\n`)
    expect(read?.setup).toEqual(setup)
  })

  test('engine speeds of a claim are written like any quantity', async () => {
    const claim = 'id: main, quantity: wheel-power, relation: at-least, gain: 2 %'
    const over = 'over: { kind: band-mean, from: 4000 rpm, to: 10000 rpm }'
    const { claims } = await readSessionFolder(reading(withSession(`${session}claims:\n  - { ${claim}, ${over} }\n`)))
    expect(claims?.[0]).toMatchObject({
      gain: { value: 2, unit: '%' },
      over: { from: { value: 4000, unit: 'rpm' }, to: { value: 10_000, unit: 'rpm' } },
    })
  })

  test('a date stays the text it is', async () => {
    const read = await mountingOf('mountings:\n  - id: m1\n    at: 2026-03-02T08:50:00+01:00\n')
    expect(read?.at).toBe('2026-03-02T08:50:00+01:00')
  })

  test('a small file does not become a large one', async () => {
    const bomb = [
      'a: &a [x,x,x,x,x,x,x,x,x,x]',
      ...'bcdefgh'.split('').map((name, k) => {
        const below = 'abcdefg'.charAt(k)
        return `${name}: &${name} [${Array.from({ length: 10 }, () => `*${below}`).join(',')}]`
      }),
    ].join('\n')
    expect((await problemsOf(withSession(bomb)))[0]?.code).toBe('ERR_SESSION_REFUSED')
  })
})

describe('what is wrong is named with file, line and place', () => {
  test.each<[string, Files, Partial<ImportProblem>]>([
    [
      'YAML that is none',
      withSession('protocol: x\ncolumns: [1\n'),
      { code: 'ERR_SESSION_NOT_YAML', file: 'session.yaml', line: 3 },
    ],
    [
      'a member twice',
      withSession(`${session}protocol: y\n`),
      { code: 'ERR_SESSION_NOT_YAML', line: 10, character: 1 },
    ],
    [
      'a mistyped member',
      withSession(session.replace('setup', 'stup')),
      { code: 'ERR_UNKNOWN_MEMBER', line: 7, character: 5 },
    ],
    [
      'a mistyped unit',
      withSession(session.replace('kPa', 'kpas')),
      { code: 'ERR_UNKNOWN_UNIT', line: 9, character: 24 },
    ],
    [
      'a wrong type',
      withSession(session.replace('gear: 5', 'gear: five')),
      { code: 'ERR_WRONG_TYPE', line: 7, character: 20 },
    ],
    ['a gauge pressure', withSession(session.replace('99.2', '0.2')), { code: 'ERR_GAUGE_PRESSURE', line: 9 }],
    [
      'no protocol',
      withSession(session.replace(/protocol.*\n/, '')),
      { code: 'ERR_MISSING_MEMBER', file: 'session.yaml' },
    ],
    [
      'no columns',
      withSession(session.replace(/columns:\n.*\n.*\n/, '')),
      { code: 'ERR_MAPPING', file: 'session.yaml' },
    ],
    [
      'a column that nobody knows',
      withSheet(sheet.replace('mounting', 'mount')),
      { code: 'ERR_SHEET_COLUMN', file: 'runs.csv', line: 1, column: 'mount' },
    ],
    [
      'a column twice',
      withSheet(sheet.replace('mounting', 'side')),
      { code: 'ERR_SHEET_COLUMN', line: 1, column: 'side' },
    ],
    [
      'a column without its unit',
      withSheet(sheet.replace(' [kPa]', '')),
      { code: 'ERR_SHEET_COLUMN', column: 'tyre pressure' },
    ],
    [
      'a unit of another kind',
      withSheet(sheet.replace('[kPa]', '[kW]')),
      { code: 'ERR_SHEET_COLUMN', column: 'tyre pressure [kW]' },
    ],
    [
      'a cell that is no number',
      withSheet(sheet.replace('250', '250 kPa')),
      { code: 'ERR_SHEET_CELL', line: 2, column: 'tyre pressure [kPa]' },
    ],
    [
      'a side that is none',
      withSheet(sheet.replace('modified', 'after')),
      { code: 'ERR_NOT_IN_LIST', file: 'runs.csv', line: 3, column: 'side' },
    ],
    [
      'no purpose',
      withSheet(sheet.replace('m1,measured,,', 'm1,,,')),
      { code: 'ERR_MISSING_MEMBER', line: 3, column: 'purpose' },
    ],
    [
      'an unknown mounting',
      withSheet(sheet.replace('modified,m1', 'modified,m2')),
      { code: 'ERR_UNKNOWN_REFERENCE', line: 3, column: 'mounting' },
    ],
    [
      'a pressure without its state',
      withSheet(sheet.replace('250,set-cold', '250,')),
      { code: 'ERR_MISSING_MEMBER', line: 2, column: 'tyre pressure state' },
    ],
    [
      'one id twice',
      withSheet(sheet.replace('m1.csv,modified', 'b1.csv,modified')),
      { code: 'ERR_DUPLICATE_ID', line: 3, column: null },
    ],
    [
      'a file that is not there',
      withSheet(sheet.replace('m1.csv', 'm9.csv')),
      { code: 'ERR_FILE_NOT_FOUND', file: 'runs.csv', line: 3, column: 'file' },
    ],
    [
      'a file outside the folder',
      withSheet(sheet.replace('m1.csv', '../m1.csv')),
      { code: 'ERR_FILE_OUTSIDE_FOLDER', file: 'runs.csv', line: 3 },
    ],
    [
      'a fault inside the file of a run',
      { ...folder, 'm1.csv': csv.replace('20.6', 'x') },
      { code: 'ERR_CELL_NOT_A_NUMBER', file: 'm1.csv', line: 3, column: 'Power' },
    ],
    [
      'a measured run without figures',
      withSheet(sheet.replace('m1.csv,modified', ',modified')),
      { code: 'ERR_MISSING_MEMBER', file: 'runs.csv', line: 3 },
    ],
    [
      'a cell too many',
      withSheet(sheet.replace('250,set-cold', '250,set-cold,,late')),
      { code: 'ERR_ROW_LENGTH', file: 'runs.csv', line: 2 },
    ],
    ['no header', withSheet('b1.csv,baseline,measured\n'), { code: 'ERR_SHEET_COLUMN', file: 'runs.csv', line: 1 }],
    ['no sheet', { 'session.yaml': session }, { code: 'ERR_FILE_NOT_FOUND', file: 'runs.csv' }],
  ])('%s', async (_, files, place) => {
    const [problem] = await problemsOf(files)
    expect(problem).toMatchObject({ pointer: null, ...place })
  })

  test('a member is named where its place does not name it', async () => {
    const [problem] = await problemsOf(withSession(session.replace(/protocol.*\n/, '')))
    expect(problem?.detail).toMatch(/^protocol: the member is missing/)
  })

  test('a quantity with a decimal comma is told how to be written', async () => {
    const [problem] = await problemsOf(withSession(session.replace('99.2 kPa', '99,2 kPa')))
    expect(problem?.fix).toContain('a number with a decimal point, a blank and the unit')
  })

  test('of YAML that is none the first fault is told, not what follows from it', async () => {
    expect(await problemsOf(withSession(session.replace('  - id: m1', '\t- id: m1')))).toHaveLength(1)
  })

  test('one fault of the mapping is told once, not once per run', async () => {
    expect(await problemsOf(withSession(session.replace('unit: kW', 'unit: kX')))).toHaveLength(1)
  })
})

describe('a folder before its runs are made', () => {
  test('a template is read as it is: runs are awaited, nothing is wrong', async () => {
    const { session: text, sheet: runs } = sessionTemplate()
    const survey = await surveySessionFolder(reading({ 'session.yaml': text, 'runs.csv': runs }))
    expect(survey.problems).toEqual([])
    expect(survey.awaited.map(({ run }) => run)).toEqual(['b1', 'b2', 'b3', 'm1', 'm2', 'm3', 'b4', 'b5', 'b6'])
    expect(survey.comparison?.runs.every(({ channels, reported }) => (channels ?? reported) === undefined)).toBe(true)
  })

  test('a run that is there is read, and its faults are told', async () => {
    const { 'm1.csv': _, ...half } = folder
    const survey = await surveySessionFolder(reading({ ...half, 'b1.csv': csv.replace('20.6', '') }))
    expect(survey.awaited).toEqual([{ run: 'm1', file: 'm1.csv', line: 3 }])
    expect(survey.problems.map(({ code, file }) => [code, file])).toEqual([['ERR_CELL_EMPTY', 'b1.csv']])
  })

  test('sixty awaited runs are no sixty problems', async () => {
    const lines = Array.from({ length: 60 }, (_, k) => `r${k},baseline,measured`)
    const survey = await surveySessionFolder(reading(withSheet(`id,side,purpose\n${lines.join('\n')}\n`)))
    expect([survey.problems, survey.awaited.length]).toEqual([[], 60])
  })

  test('runs that were made get a line each, and proposed columns wait for a person', async () => {
    const { session: text, sheet: runs } = sessionTemplate({ files: ['runs/a, b.csv'], columns: 'columns:\n  x: y\n' })
    expect(runs).toContain('\n"runs/a, b.csv",')
    expect(text).toContain('#columns:\n#  x: y\n')
  })
})
