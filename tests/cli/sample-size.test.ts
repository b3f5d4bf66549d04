import { createFakeService } from '@fairpull/sdk/testing'
import { describe, expect, test } from 'vitest'
import { fairpull } from './command.ts'
import { expectGolden } from './golden.ts'

const record = {
  repeatability: { relativeSd: 0.004, degreesOfFreedom: 8, status: 'measured' },
  remounting: { relativeSd: 0.005, degreesOfFreedom: 7, status: 'measured' },
}
const files = {
  'record.json': JSON.stringify(record),
  'comparison.json': JSON.stringify({ facility: { id: 'f1', record } }),
  'bare.json': JSON.stringify({ facility: { id: 'f1' } }),
  'torn.json': '{ "repeatability": ',
  'wrong.json': JSON.stringify({ repeatability: { ...record.repeatability, relativeSd: 0 } }),
}
const ask = (...words: readonly string[]) => fairpull(['sample-size', ...words], { files })
const interval = ['--half-width', '1', '--swap', '15', '--band-width', '5000']

describe('fairpull sample-size', () => {
  test('reads, in 80 columns', async () => {
    const { exit, stdout, stderr } = await ask('--half-width', '2.5', '--band-width', '5000')
    expect([exit, stderr]).toEqual([0, ''])
    expect(Math.max(...stdout.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80)
    expectGolden('sample-size.txt', stdout)
  })

  test('takes the record from a file of its own, and from a document that holds one', async () => {
    const own = await ask(...interval, '--record', 'record.json', '--json')
    expect(JSON.parse(own.stdout).figures[0]).toMatchObject({ relativeSd: 0.004, status: 'measured' })
    expect((await ask(...interval, '--record', 'comparison.json', '--json')).stdout).toBe(own.stdout)
  })

  test('advises strapping down again where the swap takes hours', async () => {
    const claim = ['--at-least', '3', '--slack', '2.5', '--chance', '90', '--swap', '240', '--off-rollers']
    const { exit, stdout } = await ask(...claim, '--irreversible', '--record', 'record.json')
    expect(exit).toBe(0)
    expect(stdout).toContain('within each side without touching the part')
    expect(stdout.replaceAll(/\s+/g, ' ')).toContain('with a chance of 90 %')
  })

  test('a service gives the same answer', async () => {
    const fake = await createFakeService()
    const words = [...interval, '--record', 'record.json', '--json']
    const asked = await fairpull(['sample-size', ...words, '--service', fake.baseUrl, '--key', fake.apiKey], {
      files,
      fetch: fake.fetch,
    })
    expect([asked.exit, asked.stderr]).toEqual([0, ''])
    expect(JSON.parse(asked.stdout)).toEqual(JSON.parse((await ask(...words)).stdout))
  })

  test.each<readonly [string, readonly string[], RegExp]>([
    ['no target', ['--swap', '15'], /give --half-width, or --at-least with --slack/],
    ['a claim without slack', ['--at-least', '3'], /--at-least with --slack/],
    ['two questions', ['--half-width', '1', '--slack', '1'], /--half-width and --slack are two questions/],
    ['no number', ['--half-width', 'narrow'], /--half-width takes a number such as 1\.5, and not "narrow"/],
    ['a half-width of 0', ['--half-width', '0'], /\/target\/halfWidth\/value: 0 .*above 0/],
    [
      'a chance that nobody can promise',
      ['--at-least', '3', '--slack', '1', '--chance', '100'],
      /\/target\/chance: 1 /,
    ],
    ['a swap off the rollers of unknown length', ['--half-width', '1', '--off-rollers'], /--off-rollers needs --swap/],
    ['a file that is not there', ['--half-width', '1', '--record', 'none.json'], /none\.json cannot be read/],
    ['a record that is no JSON', ['--half-width', '1', '--record', 'torn.json'], /Correct the JSON/],
    ['a document without a record', ['--half-width', '1', '--record', 'bare.json'], /holds no facility record/],
    [
      'a record that cannot be',
      ['--half-width', '1', '--record', 'wrong.json'],
      /\/record\/repeatability\/relativeSd: 0 /,
    ],
    ['a protocol that is none', ['--half-width', '1', '--protocol', 'boats@1'], /boats@1/],
  ])('%s is refused with what to do', async (_, words, message) => {
    const { exit, stdout, stderr } = await ask(...words)
    expect([exit, stdout]).toEqual([1, ''])
    expect(stderr.replaceAll(/\s+/g, ' ')).toMatch(message)
    expect(stderr).toMatch(/Next: ?/)
  })
})
