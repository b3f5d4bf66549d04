/** The reviewer's example as its README says: two figures, and somebody's summary. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { exampleFile, runIn } from './example.ts'

let folder: string

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'reviewer-'))
  const { exit } = await runIn(folder, [exampleFile('reviewer/make-sample.mjs')])
  expect(exit).toBe(0)
})

afterAll(() => rmSync(folder, { recursive: true, force: true }))

const claim = (...words: string[]) => runIn(folder, [exampleFile('reviewer/check-claim.mjs'), ...words])
const summary = (name: string, comparison = 'comparison.json', trust = 'trust.json') =>
  runIn(folder, [exampleFile('reviewer/check-summary.mjs'), name, comparison, trust])

describe('two published figures', () => {
  test('prove nothing by themselves; what else could account for them and what to ask for is named', async () => {
    const { exit, stdout } = await claim('71.2', '73.9', 'kW')
    expect(exit).toBe(0)
    expect(stdout).toContain('UNDECIDED: At least 3.7 % more peak wheel power.')
    expect(stdout).toContain('What could account for this difference on its own')
    expect(stdout).toContain('Ask the publisher:')
  })

  test('are taken in hp and with the gain that was claimed', async () => {
    const { exit, stdout } = await claim('95.5', '99.1', 'hp', '5')
    expect(exit).toBe(0)
    expect(stdout).toContain('At least 5 % more peak wheel power.')
  })

  test('that are none are refused by name, with the usage', async () => {
    const { exit, stderr } = await claim('71.2', '73.9', 'horses')
    expect(exit).toBe(1)
    expect(stderr).toContain('/runs/0/reported/peakPower/unit')
    expect(stderr).toContain('Usage: node check-claim.mjs')
  })
})

describe('somebody’s summary', () => {
  test('is verified, and its numbers come out again', async () => {
    const { exit, stdout } = await summary('summary.jws')
    expect(stdout).toMatch(/^summary\.jws: verified$/m)
    expect(stdout).toContain('recomputation: passed, the same data give the same result, byte for byte')
    expect(stdout).toContain('It does not show:')
    expect(exit).toBe(0)
  })

  test('with one letter changed is refused, and nothing of what it says is shown', async () => {
    const { exit, stdout } = await summary('altered.jws')
    expect(stdout).toMatch(/^altered\.jws: refused$/m)
    expect(stdout).not.toContain('It says')
    expect(exit).toBe(1)
  })

  test('by a key that nobody vouches for, or with other data, does not end as verified', async () => {
    writeFileSync(join(folder, 'nobody.json'), '{"keys":[]}')
    expect((await summary('summary.jws', 'comparison.json', 'nobody.json')).exit).toBe(1)

    const { runs, ...others } = JSON.parse(readFileSync(join(folder, 'comparison.json'), 'utf8'))
    writeFileSync(join(folder, 'other.json'), JSON.stringify({ ...others, runs: runs.slice(0, -1) }))
    const { exit, stdout } = await summary('summary.jws', 'other.json')
    expect(stdout).toContain('recomputation: noted, the data given are not those that were judged')
    expect(exit).toBe(1)
  })
})
