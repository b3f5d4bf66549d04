/** `fairpull study`: here and by a service, from study files and from session folders. */
import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import type { Comparison } from '../../packages/sdk/src/contract/index.ts'
import { simulateSession } from '../../packages/sdk/src/testing/simulator/session.ts'
import { sessionFolderOf } from '../import/session-files.ts'
import { createRegister } from '../plans/support/play.ts'
import { fairpull, type Outcome } from './command.ts'
import { expectGolden } from './golden.ts'

const example = new URL('../../packages/sdk/examples/facility/', import.meta.url)
const text = (name: string) => readFileSync(new URL(name, example), 'utf8')
const spring = JSON.parse(text('spring.study.json'))
const runFiles: Readonly<Record<string, string>> = Object.fromEntries(
  readdirSync(new URL('runs/', example)).map((name) => [`runs/${name}`, text(`runs/${name}`)]),
)

/** The example, changed. */
const filesWith = (changed: object = {}): Readonly<Record<string, string>> => ({
  ...runFiles,
  'spring.json': JSON.stringify({ ...spring, ...changed }),
})

const one = (stdout: string) => JSON.parse(stdout).studies[0]
const flat = ({ stderr }: Outcome) => stderr.replace(/\s+/g, ' ')

describe('a study file', () => {
  test('is shown on a page of 80 columns', async () => {
    const { exit, stdout } = await fairpull(['study', 'spring.json', '--full'], { files: filesWith() })
    expect(exit).toBe(0)
    expect(Math.max(...stdout.split('\n').map((line) => Array.from(line).length))).toBeLessThanOrEqual(80)
    expectGolden('study.stdout', stdout)
  })

  test('--plain is ASCII alone', async () => {
    const { stdout } = await fairpull(['study', 'spring.json', '--full', '--plain'], { files: filesWith() })
    expect(stdout).toMatch(/^[\n\x20-\x7e]+$/)
  })

  test('--json prints the result, and nothing is said that is no JSON', async () => {
    const { stdout } = await fairpull(['study', 'spring.json', '--json'], { files: filesWith() })
    expect(JSON.parse(stdout)).toMatchObject({ id: null, charts: [], studies: [{ missing: [] }] })
  })

  test('too little is an answer; --strict makes it an exit code', async () => {
    const [first] = spring.mountings
    const runs = spring.runs.filter(({ mounting }: { mounting: string }) => mounting === first.id)
    const files = filesWith({ mountings: [first], runs })
    const shown = await fairpull(['study', 'spring.json'], { files })
    expect([shown.exit, shown.stdout.includes('Why there is no record')]).toEqual([0, false])
    expect(shown.stdout).toContain('What is missing from it')
    expect((await fairpull(['study', 'spring.json', '--strict'], { files })).exit).toBe(2)
    expect((await fairpull(['study', 'spring.json', '--strict'], { files: filesWith() })).exit).toBe(0)
  })

  test('the record is saved where it is asked for, in the form a comparison takes', async () => {
    const { written, stderr } = await fairpull(['study', 'spring.json', '--out', 'record.json'], { files: filesWith() })
    expect(JSON.parse(written['record.json'] ?? '')).toMatchObject({ remounting: { status: 'measured' } })
    expect(stderr).toBe('Saved the facility record to record.json.\n')
  })

  test('without a record nothing is saved, and why is said', async () => {
    const outcome = await fairpull(['study', 'spring.json', '--out', 'record.json'], {
      files: filesWith({ band: { from: { value: 100, unit: 'rpm' }, to: { value: 900, unit: 'rpm' } } }),
    })
    expect([outcome.exit, outcome.written]).toEqual([1, {}])
    expect(flat(outcome)).toContain('there is no record to save.')
  })

  test('several are charted, each against its limits', async () => {
    const files = {
      ...filesWith(),
      'summer.json': JSON.stringify({ ...spring, name: 'House machine, summer' }),
    }
    const { exit, stdout } = await fairpull(['study', 'spring.json', 'summer.json'], { files })
    expect(exit).toBe(0)
    expect(stdout).toContain('Standard deviation of the runs within a mounting, study by study')
    expect(stdout).toMatch(/House machine, summer, 2026-03-05: 0\.\d+ %, limits 0\.\d+ % to \d\.\d+ %/)
    const saved = await fairpull(['study', 'spring.json', 'summer.json', '--out', 'r.json'], { files })
    expect([saved.exit, flat(saved)]).toEqual([1, expect.stringContaining('--out is for one study; 2 study files')])
  })
})

describe('what cannot be used is named', () => {
  const refusalOf = async (argv: readonly string[], files: Readonly<Record<string, string>>) => {
    const outcome = await fairpull(argv, { files })
    return [outcome.exit, flat(outcome)] as const
  }

  test('a file that is no JSON, and one that is not there', async () => {
    expect(await refusalOf(['study', 'x.json'], { 'x.json': '{' })).toEqual([1, expect.stringContaining('JSON')])
    expect(await refusalOf(['study', 'x.json'], { 'x.json': '[]' })).toEqual([
      1,
      expect.stringContaining('a study is a JSON object'),
    ])
    expect(await refusalOf(['study', 'y.json'], {})).toEqual([1, expect.stringContaining('y.json cannot be read')])
  })

  test('a member, with its place', async () => {
    const [exit, said] = await refusalOf(['study', 'spring.json'], filesWith({ band: undefined }))
    expect(exit).toBe(1)
    expect(said).toContain('/band')
  })

  test('a CSV file that a run names', async () => {
    const { 'runs/m1-1.csv': _, ...files } = filesWith()
    expect(await refusalOf(['study', 'spring.json'], files)).toEqual([1, expect.stringContaining('runs/m1-1.csv')])
  })

  test('options of session folders beside a study file', async () => {
    const [exit, said] = await refusalOf(['study', 'spring.json', '--class', 'all'], filesWith())
    expect([exit, said]).toEqual([1, expect.stringContaining('--class is for session folders')])
  })
})

describe('session folders', () => {
  const names = ['march', 'april', 'june'] as const
  const sessions = names.map(
    (_, index) =>
      simulateSession({
        ...{ seed: 40 + index, design: 'A|A|B', runsPerBlock: 2 },
        gain: { shape: 'uniform', percent: 3 },
        claims: [
          {
            id: 'band',
            quantity: 'wheel-power',
            over: { kind: 'band-mean', from: { value: 5000, unit: 'rpm' }, to: { value: 9000, unit: 'rpm' } },
            relation: 'at-least',
            gain: { value: 1, unit: '%' },
          },
        ],
      }).comparison,
  )
  const inFolder = (name: string, comparison: Comparison) =>
    Object.fromEntries(Object.entries(sessionFolderOf(comparison)).map(([file, body]) => [`${name}/${file}`, body]))
  const filesOf = (given: readonly Comparison[]) =>
    Object.assign({}, ...given.map((comparison, index) => inFolder(names[index] ?? '', comparison)))
  const scope = ['--strapping', 'two straps at the rear', '--class', 'about 75 kW']

  test('are one study of all their baseline runs; those of the modified side are left out, and that is said', async () => {
    const outcome = await fairpull(['study', ...names, ...scope, '--json'], { files: filesOf(sessions) })
    expect(outcome.stderr).toContain('6 measured runs of the modified side left out')
    expect(outcome.exit).toBe(0)
    const { runs, record, figures } = one(outcome.stdout)
    expect(runs).toHaveLength(12)
    expect(new Set(runs.map(({ mounting }: { mounting: string }) => mounting))).toEqual(
      new Set(['march/m1', 'march/m2', 'april/m1', 'april/m2', 'june/m1', 'june/m2']),
    )
    expect(figures).toMatchObject({ from_rpm: 5000, to_rpm: 9000 })
    expect(record).toMatchObject({ remounting: { degreesOfFreedom: 5, status: 'measured' } })
    expect(record.appliesTo).toEqual({
      machine: 'simulated machine',
      strapping: 'two straps at the rear',
      class: 'about 75 kW',
    })
  })

  test('take a band of their own', async () => {
    const words = ['study', ...names, ...scope, '--band', '6000-8000', '--json']
    expect(one((await fairpull(words, { files: filesOf(sessions) })).stdout).figures.from_rpm).toBe(6000)
    const wrong = await fairpull(['study', ...names, ...scope, '--band', '8000-6000'], { files: filesOf(sessions) })
    expect([wrong.exit, flat(wrong)]).toEqual([1, expect.stringContaining('the lower first, such as 4000-9000')])
  })

  test('need what the record applies to', async () => {
    const unlike = sessions.map((each, index) => ({
      ...each,
      mountings: (each.mountings ?? []).map((mounting) => ({ ...mounting, strapping: `${index} straps` })),
    }))
    const outcome = await fairpull(['study', ...names, '--class', 'all'], { files: filesOf(unlike) })
    expect([outcome.exit, flat(outcome)]).toEqual([1, expect.stringContaining('--strapping is missing')])
  })

  test('say it themselves where they state it alike', async () => {
    const { exit, stdout } = await fairpull(['study', ...names, '--json'], { files: filesOf(sessions) })
    expect(exit).toBe(0)
    expect(one(stdout).record.appliesTo).toMatchObject({ strapping: 'two straps at the rear', class: 'about 75 kW' })
    expect(one(stdout).record.remounting.status).toBe('measured')
  })

  test('called otherwise than they state give declared values', async () => {
    const words = ['study', ...names, '--strapping', 'four straps', '--json']
    const { stdout } = await fairpull(words, { files: filesOf(sessions) })
    expect(one(stdout).record).toMatchObject({
      appliesTo: { strapping: 'four straps' },
      remounting: { status: 'declared' },
    })
  })

  test.each([
    [
      'machine',
      (each: Comparison) => ({
        ...each,
        vehicles: [{ ...each.vehicles?.[0], id: 'v1', frameNumberDigest: 'ab'.repeat(32) }],
      }),
    ],
    ['facility', (each: Comparison) => ({ ...each, facility: { ...each.facility, id: 'another cell' } })],
  ])('of another %s are refused', async (what, change) => {
    const [first, second] = sessions
    if (first === undefined || second === undefined) throw new Error('three sessions')
    const files = filesOf([first, change(second)])
    const outcome = await fairpull(['study', 'march', 'april', ...scope], { files })
    expect([outcome.exit, flat(outcome)]).toEqual([1, expect.stringContaining(`another ${what} than march`)])
  })

  test('and study files are not mixed', async () => {
    const files = { ...filesOf(sessions), ...filesWith() }
    const outcome = await fairpull(['study', 'march', 'spring.json', ...scope], { files })
    expect([outcome.exit, flat(outcome)]).toEqual([1, expect.stringContaining('give one kind')])
  })
})

describe('--service', () => {
  test('registers the study, and charts it with the earlier ones of the facility', async () => {
    const { app } = await createRegister()
    const around = {
      files: filesWith(),
      env: { FAIRPULL_KEY: app.key },
      fetch: (async (input, init) => app.fetch(new Request(input, init))) as typeof fetch,
    }
    const words = ['study', 'spring.json', '--service', 'http://service.test']
    const first = await fairpull([...words, '--json'], around)
    expect(first.stderr).toMatch(/^Sending 24 runs to .*\nRegistered as [0-9a-f-]{36}/)
    const { id, studies, charts } = JSON.parse(first.stdout)
    expect(studies[0].record.study).toBe(id)
    expect(charts).toEqual([])
    const second = await fairpull(words, around)
    expect(second.exit).toBe(0)
    expect(second.stdout).toContain('All 2 studies lie within the limits.')
  })

  test('a refusal is told, and ends with its own code', async () => {
    const refusing = (async () =>
      new Response(JSON.stringify({ code: 'ERR_FORBIDDEN', title: 'Not permitted', status: 403 }), {
        status: 403,
        headers: { 'content-type': 'application/problem+json' },
      })) as typeof fetch
    const outcome = await fairpull(['study', 'spring.json', '--service', 'http://service.test'], {
      files: filesWith(),
      fetch: refusing,
    })
    expect(outcome.exit).toBe(7)
  })
})
