import { describe, expect, test } from 'vitest'
import { fairpull, type Surroundings } from './command.ts'
import { expectGolden } from './golden.ts'
import { invalidResult } from './results.ts'
import { signedFiles } from './sample-files.ts'

describe('fairpull verify', () => {
  async function verify(words: readonly string[], around: Surroundings = {}) {
    const signed = await signedFiles()
    return fairpull(['verify', ...words], { files: signed.files, assess: signed.result, ...around })
  }

  test.each([
    ['a summary under a trust bundle', ['summary.jws', '--keys', 'trust.json'], 0],
    ['a key set that the person vouches for', ['summary.jws', '--keys', 'jwks.json', '--issuer', 'Bench service'], 0],
    ['an answer of the service that holds it', ['answer.json', '--keys', 'trust.json'], 0],
    ['a key set that nobody vouches for', ['summary.jws', '--keys', 'jwks.json'], 5],
    ['a key set vouched for somebody else', ['summary.jws', '--keys', 'jwks.json', '--issuer', 'Another'], 4],
    ['no keys at all', ['summary.jws'], 5],
    ['an altered summary', ['altered.jws', '--keys', 'trust.json'], 4],
    ['the data it was made of', ['summary.jws', '--keys', 'trust.json', '--comparison', 'comparison.json'], 0],
    ['other data', ['summary.jws', '--keys', 'trust.json', '--comparison', 'other.json'], 6],
    ['a file that is no summary', ['trust.json', '--keys', 'trust.json'], 1],
    ['a file that is not there', ['sumary.jws', '--keys', 'trust.json'], 1],
    ['keys that are none', ['summary.jws', '--keys', 'summary.jws'], 1],
    ['an issuer without keys', ['summary.jws', '--issuer', 'Bench service'], 1],
  ])('%s: exit code by the table', async (_, words, exit) => {
    expect((await verify(words)).exit).toBe(exit)
  })

  test('a result that does not come out again ends with its own code', async () => {
    const words = ['summary.jws', '--keys', 'trust.json', '--comparison', 'comparison.json']
    const { exit, stdout } = await verify(words, {
      assess: ({ runs }) => ({ ...invalidResult, accounting: { ...invalidResult.accounting, recorded: runs.length } }),
    })
    expect(exit).toBe(6)
    expect(stdout).toContain('ERR_RECOMPUTED_DIFFERS')
  })

  test.each([
    ['verified', ['summary.jws', '--keys', 'trust.json', '--comparison', 'comparison.json']],
    ['key-unknown', ['summary.jws', '--keys', 'jwks.json']],
    ['altered', ['altered.jws', '--keys', 'trust.json']],
    ['no-keys', ['summary.jws']],
  ])('the report reads: %s', async (name, words) => {
    const { stdout, stderr } = await verify(words)
    expectGolden(`verify-${name}.stdout`, stdout)
    expectGolden(`verify-${name}.stderr`, stderr)
  })

  test('content of a form nobody here knows is not shown, but the report is', async () => {
    const signed = await signedFiles({ claims: 'of a later version' })
    const { exit, stdout } = await fairpull(['verify', 'summary.jws', '--keys', 'trust.json'], { files: signed.files })
    expect(exit).toBe(0)
    expect(stdout).toContain('VERIFIED')
    expect(stdout).toContain('in a form this version cannot show')
  })

  test('--json prints the report for programs', async () => {
    const { stdout } = await verify(['summary.jws', '--keys', 'trust.json', '--json'])
    expect(JSON.parse(stdout)).toMatchObject({ verdict: 'verified', integrity: 'intact', failure: null })
  })
})
