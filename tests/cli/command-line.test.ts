import { describe, expect, test } from 'vitest'
import type { Protocol } from '../../packages/sdk/src/contract/index.ts'
import { fairpull, type Surroundings } from './command.ts'
import { expectGolden } from './golden.ts'
import { validResult } from './results.ts'
import { files } from './sample-files.ts'

const assessing = (around: Surroundings = {}) => ({ files, assess: validResult, ...around })

describe('fairpull protocols', () => {
  const protocol: Protocol = {
    id: 'motorcycle-rollers@1',
    title: 'Motorcycles on rollers',
    assumed: {
      typical: { repeatability: 0.005, localNoise: 0.003, remounting: 0.005, day: 0.005 },
      cautious: { repeatability: 0.008, localNoise: 0.005, remounting: 0.01, day: 0.008 },
    },
    checks: [
      {
        check: 'tyre-pressure-matched',
        compares: 'Side means of the drive-tyre pressure.',
        severity: 'gate',
        limits: { difference: { met: 7, marginal: 20, unit: 'kPa' } },
        basis: 'common practice, no source',
        effect: null,
        sharesGain: null,
      },
    ],
  }

  test('the list', async () => {
    expect((await fairpull(['protocols'], { protocols: [protocol] })).stdout).toBe(
      'motorcycle-rollers@1: Motorcycles on rollers (1 checks)\n',
    )
  })

  test('one in full', async () => {
    expectGolden('protocol.stdout', (await fairpull(['protocols', protocol.id], { protocols: [protocol] })).stdout)
  })

  test('as JSON it is the protocol', async () => {
    const { stdout } = await fairpull(['protocols', protocol.id, '--json'], { protocols: [protocol] })
    expect(JSON.parse(stdout)).toEqual(protocol)
  })

  test('a mistyped name is recognised', async () => {
    const { exit, stderr } = await fairpull(['protocols', 'motorcycle-roller@0'], { protocols: [protocol] })
    expect(exit).toBe(1)
    expect(stderr.replace(/\s+/g, ' ')).toContain('Did you mean "motorcycle-rollers@1"?')
  })
})

describe('the command line', () => {
  test.each([
    ['help', ['--help'], 0],
    ['assess-help', ['assess', '--help'], 0],
    ['verify-help', ['verify', '--help'], 0],
  ])('%s reads', async (name, argv, exit) => {
    const outcome = await fairpull(argv)
    expect([outcome.exit, outcome.stderr]).toEqual([exit, ''])
    expect(Math.max(...outcome.stdout.split('\n').map(({ length }) => length))).toBeLessThanOrEqual(80)
    expectGolden(`${name}.stdout`, outcome.stdout)
  })

  test.each(['--version', '-V'])('%s prints the version alone', async (flag) => {
    expect(await fairpull([flag])).toMatchObject({ exit: 0, stdout: '1.2.3\n', stderr: '' })
  })

  test.each([
    ['nothing', []],
    ['a mistyped command', ['asess', 'x.json']],
    ['a mistyped option', ['assess', 'x.json', '--jsn']],
    ['a missing file name', ['verify']],
    ['one word too many', ['assess', 'a.json', 'b.json']],
  ])('%s ends with 1, nothing on stdout, and the next command to try', async (_, argv) => {
    const { exit, stdout, stderr } = await fairpull(argv)
    expect([exit, stdout]).toEqual([1, ''])
    expect(stderr).toMatch(/Next: fairpull .*\n$/)
  })

  test.each([
    [['asess', 'x.json'], 'assess'],
    [['assess', 'x.json', '--jsn'], '--json'],
  ])('%j: what was meant is offered', async (argv, meant) => {
    expect((await fairpull(argv)).stderr).toContain(`Did you mean ${meant}?`)
  })

  const esc = String.fromCharCode(27)
  test.each([
    ['a terminal', { isTerminal: true }, true],
    ['a pipe', {}, false],
    ['a terminal with NO_COLOR', { isTerminal: true, env: { NO_COLOR: '1' } }, false],
    ['a terminal with an empty NO_COLOR', { isTerminal: true, env: { NO_COLOR: '' } }, true],
    ['a dumb terminal', { isTerminal: true, env: { TERM: 'dumb' } }, false],
  ])('%s: colours are %#', async (_, around, isColoured) => {
    const { stdout } = await fairpull(['assess', 'bench/comparison.json'], assessing(around))
    expect(stdout.includes(esc)).toBe(isColoured)
  })

  test.each([
    ['LANG=C', { LANG: 'C' }, true],
    ['LANG=en_GB.UTF-8', { LANG: 'en_GB.UTF-8' }, false],
    ['LC_ALL before LANG', { LC_ALL: 'POSIX', LANG: 'en_GB.UTF-8' }, true],
    ['nothing said', {}, false],
  ])('%s: only ASCII is %#', async (_, env, isPlain) => {
    const { stdout } = await fairpull(['assess', 'bench/comparison.json'], assessing({ env }))
    expect(/^[\n\x20-\x7e]*$/.test(stdout)).toBe(isPlain)
  })

  test('a narrow terminal gets narrow lines', async () => {
    const { stdout } = await fairpull(
      ['assess', 'bench/comparison.json'],
      assessing({ isTerminal: true, columns: 60, env: { NO_COLOR: '1' } }),
    )
    expect(Math.max(...stdout.split('\n').map((line) => Array.from(line).length))).toBeLessThanOrEqual(60)
  })
})
