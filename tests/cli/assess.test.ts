import { describe, expect, test } from 'vitest'
import { fairpull, type Surroundings } from './command.ts'
import { expectGolden } from './golden.ts'
import { invalidResult, reportedResult, validResult } from './results.ts'
import { altered, files, signedFiles } from './sample-files.ts'

const assessing = (around: Surroundings = {}) => ({ files, assess: validResult, ...around })

describe('fairpull assess', () => {
  test('reads the comparison and its runs, and prints the result; nothing goes to stderr', async () => {
    const { exit, stdout, stderr } = await fairpull(['assess', 'bench/comparison.json'], assessing())
    expect([exit, stderr]).toEqual([0, ''])
    expectGolden('assess.stdout', stdout)
  })

  test('hands the engine the channels of the files', async () => {
    let seen: unknown
    const assess = (comparison: unknown) => {
      seen = comparison
      return validResult
    }
    await fairpull(['assess', 'bench/comparison.json'], assessing({ assess }))
    expect(seen).toMatchObject({
      runs: [{ source: { name: 'b1.csv' } }, { channels: { wheelPower: { values: [20.1, 20.6, 22] } } }],
    })
  })

  test('--json prints the result for programs, alone on stdout', async () => {
    const { stdout } = await fairpull(['assess', 'bench/comparison.json', '--json'], assessing())
    expect(JSON.parse(stdout)).toEqual({ result: validResult, id: null, summary: null, verification: null })
  })

  test.each([
    ['valid', validResult, 0],
    ['limited', reportedResult, 2],
    ['invalid', invalidResult, 3],
  ])('--strict: %s ends with its own code; without it every assessment made ends with 0', async (_, assess, strict) => {
    const words = ['assess', 'bench/comparison.json']
    expect((await fairpull([...words, '--strict'], assessing({ assess }))).exit).toBe(strict)
    expect((await fairpull(words, assessing({ assess }))).exit).toBe(0)
  })

  test('standard input is a file like any other', async () => {
    const inline = JSON.stringify({
      protocol: 'p',
      runs: [{ id: 'b1', side: 'baseline', purpose: 'measured', reported: { peakPower: { value: 70, unit: 'kW' } } }],
    })
    expect((await fairpull(['assess', '-'], assessing({ files: { '-': inline } }))).exit).toBe(0)
  })

  test('what is wrong with a run’s file is said with place, fix and next command', async () => {
    const broken = { ...files, 'bench/runs/m1.csv': 'Speed,Power\n3000,20.1\n3050,\n' }
    const { exit, stdout, stderr } = await fairpull(['assess', 'bench/comparison.json'], assessing({ files: broken }))
    expect([exit, stdout]).toEqual([1, ''])
    expectGolden('assess-empty-cell.stderr', stderr)
  })

  test('a file that is not there', async () => {
    const { exit, stderr } = await fairpull(['assess', 'bench/comparisn.json'], assessing())
    expect(exit).toBe(1)
    expectGolden('assess-no-file.stderr', stderr)
  })

  test('what only a service can do is said, not ignored', async () => {
    const { exit, stderr } = await fairpull(['assess', 'bench/comparison.json', '--out', 'summary.jws'], assessing())
    expect(exit).toBe(1)
    expectGolden('assess-out-without-service.stderr', stderr)
  })

  test('a fault of the programme is not blamed on the data', async () => {
    const assess = () => {
      throw new RangeError('a list was empty')
    }
    const { exit, stdout, stderr } = await fairpull(['assess', 'bench/comparison.json'], assessing({ assess }))
    expect([exit, stdout]).toEqual([70, ''])
    expectGolden('assess-fault.stderr', stderr)
  })
})

describe('fairpull assess --service', () => {
  const words = ['assess', 'comparison.json', '--service', 'http://127.0.0.1:8080', '--key', 'fp_secret']

  async function service(around: Surroundings = {}, alter: (summary: string) => string = (s) => s) {
    const signed = await signedFiles()
    const requests: Request[] = []
    const fetch = async (input: RequestInfo | URL, init?: RequestInit) => {
      const request = new Request(input, init)
      requests.push(request)
      if (request.url.endsWith('jwks.json')) return Response.json({ keys: [signed.key] })
      if (request.url.includes('dryRun')) return Response.json({ dryRun: true, result: signed.result })
      const id = '0193c9e0-0000-7000-8000-000000000001'
      return Response.json({ id, summary: alter(signed.summary), payload: {} }, { status: 201 })
    }
    return { signed, requests, around: { files: signed.files, fetch, ...around } }
  }

  test('prints the result, saves the summary byte for byte, and says whose word it is', async () => {
    const { signed, requests, around } = await service()
    const argv = [...words, '--out', 'out/summary.jws', '--keys', 'trust.json']
    const { exit, stdout, stderr, written } = await fairpull(argv, around)
    expect(exit).toBe(0)
    expect(written).toEqual({ 'out/summary.jws': signed.summary })
    expect(stdout).toContain('Signed summary 0193c9e0-0000-7000-8000-000000000001\nverified with your keys.')
    expectGolden('assess-service.stderr', stderr)
    expect(requests[0]?.headers.get('authorization')).toBe('Bearer fp_secret')
  })

  test('without keys it says that the key is unknown', async () => {
    const { around } = await service()
    expect((await fairpull(words, around)).stdout).toContain('intact, key unknown: say whom you trust')
  })

  test('the key may come from the environment', async () => {
    const { requests, around } = await service({ env: { FAIRPULL_KEY: 'fp_other' } })
    await fairpull(words.slice(0, 4), around)
    expect(requests[0]?.headers.get('authorization')).toBe('Bearer fp_other')
  })

  test('a dry run is neither signed nor saved', async () => {
    const { around } = await service()
    const { stdout, written } = await fairpull([...words, '--dry-run', '--json'], around)
    expect(JSON.parse(stdout)).toMatchObject({ id: null, summary: null, result: { standing: 'valid' } })
    expect(written).toEqual({})
  })

  test('an altered answer is refused and not shown', async () => {
    const { around } = await service({}, altered)
    const { exit, stdout, stderr } = await fairpull([...words, '--keys', 'trust.json'], around)
    expect([exit, stdout]).toEqual([4, ''])
    expectGolden('assess-service-altered.stderr', stderr)
  })

  test('a refusal names every member; the key is not repeated', async () => {
    const problem = {
      type: 'about:blank',
      title: 'Refused',
      status: 422,
      detail: 'The comparison was refused.',
      code: 'ERR_COMPARISON_REFUSED',
      requestId: 'req-5',
      errors: [{ pointer: '/runs/0/setup/gear', code: 'ERR_OUT_OF_RANGE', detail: 'Gear 9 is not one of 1 to 8.' }],
    }
    const fetch = async () =>
      Response.json(problem, { status: 422, headers: { 'content-type': 'application/problem+json' } })
    const { around } = await service({ fetch })
    const { exit, stderr } = await fairpull(words, around)
    expect(exit).toBe(7)
    expect(stderr).not.toContain('fp_secret')
    expectGolden('assess-service-refused.stderr', stderr)
  })

  test('an interruption ends the command with its own code', async () => {
    const { around } = await service({ signal: AbortSignal.abort() })
    expect((await fairpull(words, around)).exit).toBe(130)
  })

  test('a summary that was signed but cannot be saved is not lost silently: its id is said', async () => {
    const { around } = await service({ readOnly: ['out/summary.jws'] })
    const { exit, stderr } = await fairpull([...words, '--out', 'out/summary.jws'], around)
    expect(exit).toBe(1)
    expect(stderr).toContain('0193c9e0-0000-7000-8000-000000000001')
    expect(stderr).toContain('access is denied')
  })
})
