import { describe, expect, test } from 'vitest'
import { placesToWrite } from '../../packages/sdk/src/cli/places-to-write.ts'
import { sessionTemplate } from '../../packages/sdk/src/import/index.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { demoComparison } from '../../packages/service/demo/scenario/index.ts'
import { sessionFolderOf } from '../import/session-files.ts'
import { fairpull } from './command.ts'
import { expectGolden } from './golden.ts'

const inFolder = (folder: string, files: Readonly<Record<string, string>>) =>
  Object.fromEntries(Object.entries(files).map(([name, text]) => [`${folder}/${name}`, text]))

const template = sessionTemplate()
const fresh = inFolder('march', { 'session.yaml': template.session, 'runs.csv': template.sheet })
const filled = inFolder('march', sessionFolderOf(demoComparison('air-filter', 1)))

describe('fairpull init', () => {
  test('writes both files of a session folder and says what is next', async () => {
    const { exit, stdout, written } = await fairpull(['init', 'march'])
    expect(exit).toBe(0)
    expect(Object.keys(written)).toEqual(['march/session.yaml', 'march/runs.csv'])
    expect(written['march/session.yaml']).toBe(template.session)
    expect(stdout).toContain('fairpull check march')
  })

  test('a session file fits 100 columns', () => {
    const lines = template.session.split('\n')
    expect(Math.max(...lines.map((line) => Array.from(line).length))).toBeLessThanOrEqual(100)
  })

  test('nothing is written over', async () => {
    const { exit, stderr, written } = await fairpull(['init', 'march'], { files: { 'march/runs.csv': 'x' } })
    expect([exit, written]).toEqual([1, {}])
    expect(stderr.replace(/\s+/g, ' ')).toContain('it holds runs.csv. Nothing was written.')
    expect(stderr).toMatch(/Next: fairpull check march\n$/)
  })

  test('runs that are there get a line each, and the columns of the first are proposed', async () => {
    const { 'march/session.yaml': _, 'march/runs.csv': __, ...runs } = filled
    const { written, stdout } = await fairpull(['init', 'march'], { files: runs })
    expect(written['march/runs.csv']?.match(/^runs\/\w+\.csv,/gm)).toHaveLength(9)
    expect(written['march/session.yaml']).toContain('#  engineSpeed: { header: "Engine speed", unit: rpm }')
    expect(stdout).toContain('Confirm them in session.yaml')
  })

  test('semicolons for a spreadsheet with a decimal comma', async () => {
    const { written } = await fairpull(['init', 'march', '--semicolons'])
    expect(written['march/runs.csv']).toContain('\nfile;id;side;mounting;purpose;')
    const files = { 'march/session.yaml': template.session, 'march/runs.csv': written['march/runs.csv'] ?? '' }
    expect((await fairpull(['check', 'march'], { files, assess })).exit).toBe(2)
  })

  test('a folder that cannot be written is named', async () => {
    const { exit, stderr } = await fairpull(['init', 'march'], { readOnly: ['march/session.yaml'] })
    expect(exit).toBe(1)
    expect(stderr).toContain('march/session.yaml cannot be written: access is denied.')
  })
})

describe('fairpull check', () => {
  test('of a fresh folder: notes first, then what the runs will show', async () => {
    const { exit, stdout, stderr } = await fairpull(['check', 'march'], { files: fresh, assess })
    expect([exit, stderr]).toEqual([2, ''])
    expectGolden('check-fresh.stdout', stdout)
  })

  test('of a folder filled in before its runs are made: ready to run', async () => {
    const unmade = Object.fromEntries(Object.entries(filled).filter(([name]) => !name.startsWith('march/runs/')))
    const { exit, stdout } = await fairpull(['check', 'march'], { files: unmade, assess })
    expect(exit).toBe(0)
    expectGolden('check-ready-to-run.stdout', stdout)
  })

  test('of a complete folder: ready to be assessed', async () => {
    const { exit, stdout } = await fairpull(['check', 'march'], { files: filled, assess })
    expect(exit).toBe(0)
    expect(stdout).toContain('Ready to be assessed.')
    expect(stdout).toMatch(/Next: fairpull assess march\n$/)
  })

  test('another gear on one side is found before a run is made', async () => {
    const sheet = filled['march/runs.csv']?.replace(/(modified,m1,measured,[^\n]*\+01:00,)5,/g, '$14,') ?? ''
    const { exit, stdout } = await fairpull(['check', 'march'], {
      files: { ...filled, 'march/runs.csv': sheet },
      assess,
    })
    expect(exit).toBe(2)
    expect(stdout).toMatch(/To put right before you go on\n {2}✗ gear-matched/)
  })

  test('what cannot be read comes first, with file, line and column', async () => {
    const files = { ...fresh, 'march/runs.csv': template.sheet.replace('b1,baseline', 'b1,before') }
    const { exit, stdout } = await fairpull(['check', 'march'], { files, assess })
    expect(exit).toBe(1)
    expect(stdout).toContain('runs.csv, line 10, column "side"')
  })

  test('every entry that the notes can supply says where it is written', async () => {
    const { stdout } = await fairpull(['check', 'march', '--json'], { files: fresh, assess })
    const { fromRecords, withEachRun } = JSON.parse(stdout)
    const checks: string[] = [...fromRecords, ...withEachRun].map(({ check }) => check)
    expect(checks.length).toBeGreaterThan(10)
    expect(checks.filter((check) => placesToWrite[check] === undefined)).toEqual([])
  })

  test('what is wrong alike in every file is told once', async () => {
    const session = (filled['march/session.yaml'] ?? '').replace('header: Wheel power', 'header: Power')
    const { stdout } = await fairpull(['check', 'march'], {
      files: { ...filled, 'march/session.yaml': session },
      assess,
    })
    expect(stdout).toContain('1 thing cannot be read.')
    expect(stdout).toContain('✗ runs/a1.csv and 8 more files, line 1, column "Power": no column has this')
  })

  test('as JSON it is the same in the same order', async () => {
    const { stdout } = await fairpull(['check', 'march', '--json'], { files: fresh, assess })
    const check = JSON.parse(stdout)
    expect(Object.keys(check)).toEqual([
      'isReady',
      'problems',
      'fromRecords',
      'toPutRight',
      'withEachRun',
      'awaited',
      'forTheRuns',
      'met',
    ])
    expect(check.awaited).toHaveLength(9)
  })

  test('a file is assessed, not checked', async () => {
    const { exit, stderr } = await fairpull(['check', 'march/runs.csv'], { files: fresh, assess })
    expect(exit).toBe(1)
    expect(stderr).toMatch(/Next: fairpull assess march\/runs\.csv\n$/)
  })

  test('the next command holds together in a shell', async () => {
    const files = Object.fromEntries(
      Object.entries(filled).map(([name, text]) => [name.replace('march', '2 March'), text]),
    )
    const { stdout } = await fairpull(['check', '2 March'], { files, assess })
    expect(stdout).toMatch(/Next: fairpull assess '2 March'\n$/)
  })

  test('a folder that is none', async () => {
    const { exit, stderr } = await fairpull(['check', 'april'], { files: fresh, assess })
    expect(exit).toBe(1)
    expect(stderr).toBe('fairpull: there is no folder april.\nNext: fairpull init april\n')
  })
})

describe('fairpull assess', () => {
  test('of a session folder is that of its comparison', async () => {
    const comparison = demoComparison('air-filter', 1)
    const { exit, stdout } = await fairpull(['assess', 'march', '--json'], { files: filled, assess })
    expect(exit).toBe(0)
    expect(JSON.parse(stdout).result).toEqual(await assess(comparison))
  })

  test('of a folder with a file missing says so and goes no further', async () => {
    const { 'march/runs/b1.csv': _, ...files } = filled
    const { exit, stdout, stderr } = await fairpull(['assess', 'march'], { files, assess })
    expect([exit, stdout]).toEqual([1, ''])
    expect(stderr.replace(/\s+/g, ' ')).toContain(
      'runs.csv, line 8, column "file": runs/b1.csv: the file cannot be read (there is no such file).',
    )
  })
})
