/** Bad input through the command: the same items as over HTTP, and as files of a session. */
import { describe, expect, test } from 'vitest'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { demoComparison } from '../../packages/service/demo/scenario/index.ts'
import { sessionFolderOf } from '../import/session-files.ts'
import {
  changed,
  claimBeyond,
  incredible,
  noNumbers,
  RUN,
  tenThousandRuns,
  unreadable,
  withNoNumber,
} from '../journeys/bad-input-cases.ts'
import { fairpull } from './command.ts'

async function refused(document: string): Promise<string> {
  const { exit, stdout, stderr } = await fairpull(['assess', 'bad.json'], { files: { 'bad.json': document }, assess })
  expect([exit, stdout]).toEqual([1, ''])
  expect(stderr).toMatch(/Next: fairpull assess bad\.json\n$/)
  return stderr.replace(/\s+/g, ' ')
}

async function resultOf(document: string) {
  const { exit, stdout } = await fairpull(['assess', 'odd.json', '--json'], { files: { 'odd.json': document }, assess })
  expect(exit).toBe(0)
  return JSON.parse(stdout).result
}

describe('what cannot be read is refused', () => {
  test.each([...unreadable])('$what', async ({ change, pointer, value, remedy }) => {
    const text = await refused(changed(change))
    expect(text).toContain(`${pointer}: `)
    expect(text).toMatch(value)
    expect(text).toMatch(remedy)
  })

  test.each([...noNumbers])('%s as a number', async (disguise) => {
    const text = await refused(withNoNumber(disguise))
    expect(text).toContain(`${RUN}/channels/engineSpeed/values/0`)
    expect(text).toContain('Leave out what was not recorded.')
  })

  test('10,000 runs', async () => {
    expect(await refused(tenThousandRuns())).toContain('/runs: The comparison holds 10000 runs; at most 1000 are read.')
  })

  test('50 MB of blanks', async () => {
    expect(await refused(' '.repeat(50_000_000))).toContain('the text ends too early')
  })

  test('a protocol that nobody has', async () => {
    const document = changed((each) => {
      each.protocol = each.protocol.replace('rollers', 'roller')
    })
    const { exit, stderr } = await fairpull(['assess', 'bad.json'], { files: { 'bad.json': document }, assess })
    expect(exit).toBe(1)
    expect(stderr.replace(/\s+/g, ' ')).toMatch(
      /"motorcycle-roller@\d".*motorcycle-rollers@\d.*Next: fairpull protocols/,
    )
  })
})

describe('what can be read but is not credible is a finding', () => {
  test.each([...incredible])('$what', async ({ change, check }) => {
    const result = await resultOf(changed(change))
    const finding = result.findings.find((each: { check: string }) => each.check === check)
    expect(finding).toMatchObject({ status: 'breached' })
    expect(result.standing).toBe('invalid')
  })

  test('a claim outside the range that the runs cover', async () => {
    const { claims } = await resultOf(claimBeyond())
    expect(['undecided', 'not-assessable']).toContain(claims[0].judgement)
  })
})

describe('the same in a session folder is named by file, line and column', () => {
  const good = sessionFolderOf(demoComparison('air-filter', 1))
  const sheet = good['runs.csv'] ?? ''
  const session = good['session.yaml'] ?? ''

  async function told(files: Readonly<Record<string, string>>): Promise<string> {
    const inFolder = Object.fromEntries(
      Object.entries({ ...good, ...files }).map(([name, text]) => [`s/${name}`, text]),
    )
    const { exit, stdout, stderr } = await fairpull(['assess', 's'], { files: inFolder, assess })
    expect([exit, stdout]).toEqual([1, ''])
    return stderr.replace(/\s+/g, ' ')
  }

  const firstRun = (change: (cells: string[]) => void) => {
    const lines = sheet.split('\n')
    const at = lines.findIndex((line) => line.includes(',measured,'))
    const cells = lines[at]?.split(',') ?? []
    change(cells)
    return lines.with(at, cells.join(',')).join('\n')
  }
  const column = (name: string) => sheet.split('\n')[0]?.split(',').indexOf(name) ?? -1

  test.each<[string, Readonly<Record<string, string>>, RegExp]>([
    [
      'an unknown unit of a column',
      { 'session.yaml': session.replace('unit: kW', 'unit: bhp') },
      /session\.yaml, line \d+, character \d+: .*"bhp" is not a unit of wheelPower.*W, kW, hp, PS/,
    ],
    [
      'power in torque units',
      { 'session.yaml': session.replace('unit: kW', 'unit: N m') },
      /"N m" is not a unit of wheelPower/,
    ],
    [
      'an unknown mounting',
      { 'runs.csv': firstRun((cells) => cells.splice(column('mounting'), 1, 'm9')) },
      /runs\.csv, line 5, column "mounting": No mounting has the id "m9"/,
    ],
    [
      'humidity as a fraction',
      { 'runs.csv': sheet.replace('humidity [%]', 'humidity [1]') },
      /runs\.csv, lines .*column "humidity \[1\]".*40/,
    ],
    [
      'a gauge pressure where the station pressure belongs',
      { 'runs.csv': firstRun((cells) => cells.splice(column('station pressure [kPa]'), 1, '0.2')) },
      /runs\.csv, line 5, column "station pressure \[kPa\]".*0\.2.*absolute/,
    ],
    [
      'NaN in a run',
      { 'runs/a1.csv': (good['runs/a1.csv'] ?? '').replace(/\n0\.1,[^,]+/, '\n0.1,NaN') },
      /runs\/a1\.csv, line 3, column "Engine speed": "NaN" is not a number/,
    ],
    [
      'a run backwards',
      {
        'runs/a1.csv': ((text) => {
          const [header = '', ...rows] = text.trimEnd().split('\n')
          return [header, ...rows.toReversed()].join('\n')
        })(good['runs/a1.csv'] ?? ''),
      },
      /runs\/a1\.csv: engineSpeed: this is not a sweep.*never rises/,
    ],
  ])('%s', async (_, files, says) => {
    expect(await told(files)).toMatch(says)
  })
})
