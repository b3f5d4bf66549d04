/** The vendor's example as its README says: check, assess, sign, recompute. */
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { type Journey, startJourney } from '../support/journey.ts'
import { exampleFile, runIn } from './example.ts'

const example = exampleFile('vendor')
const command = fileURLToPath(new URL('../../packages/sdk/dist/cli/main.js', import.meta.url))

let journey: Journey
let folder: string

beforeAll(async () => {
  journey = await startJourney({ FAIRPULL_ISSUER: 'Bench register' })
  folder = mkdtempSync(join(tmpdir(), 'vendor-'))
})

afterAll(async () => {
  rmSync(folder, { recursive: true, force: true })
  await journey.end()
})

beforeEach(() => {
  cpSync(join(example, 'session'), join(folder, 'session'), { recursive: true })
})

/** A programme as a vendor runs it, in a folder that holds the session. */
const run = (script: string, words: readonly string[], environment: Readonly<Record<string, string>> = {}) =>
  runIn(folder, [script, ...words], environment)

const sign = (environment: Readonly<Record<string, string>> = {}) =>
  run(join(example, 'sign-session.mjs'), ['session'], environment)

describe('the vendor’s example', () => {
  test('fairpull check finds its session ready', async () => {
    const { exit, stdout } = await run(command, ['check', 'session'])
    expect(stdout).toContain('Ready to be assessed.')
    expect(exit).toBe(0)
  })

  test('without a service the session is assessed, and that it is not signed is said', async () => {
    const { exit, stdout } = await sign()
    expect(stdout).toContain('VALID: the two sides can be compared')
    expect(stdout).toContain('Not signed: set FAIRPULL_URL and FAIRPULL_KEY')
    expect(exit).toBe(0)
  })

  test('with a service it ends in a summary that comes out again, in the example and by the command', async () => {
    const service = { FAIRPULL_URL: journey.service.url, FAIRPULL_KEY: journey.apiKey }
    const { exit, stdout, stderr } = await sign(service)
    expect([exit, stderr]).toEqual([0, ''])
    expect(stdout).toMatch(/Signed summary [0-9a-f-]{36}: intact, recomputed identical\./)

    writeFileSync(join(folder, 'jwks.json'), JSON.stringify(await journey.client().keys.jwks()))
    const keys = ['--keys', 'jwks.json', '--issuer', 'Bench register']
    const recomputed = await run(command, ['recompute', 'summary.jws', 'session', ...keys])
    expect(recomputed.stdout).toContain('VERIFIED')
    expect(recomputed.exit).toBe(0)
  })

  test('fairpull assess has the folder signed, and saves the summary', async () => {
    const words = ['assess', 'session', '--service', journey.service.url, '--out', 'by-command.jws', '--strict']
    const { exit, stdout, stderr } = await run(command, words, { FAIRPULL_KEY: journey.apiKey })
    expect(stderr).toContain('Saved the signed summary to by-command.jws.')
    expect(stdout).toContain('intact, key unknown')
    expect(exit).toBe(0)
    expect(readFileSync(join(folder, 'by-command.jws'), 'utf8').split('.')).toHaveLength(3)
  })

  test('fairpull publish asks first, and then anybody can read the summary', async () => {
    const { value: latest } = await journey.client().assessments.list().next()
    const id = latest?.id ?? ''
    const words = ['publish', id, '--service', journey.service.url, '--runs']
    const asked = await run(command, words, { FAIRPULL_KEY: journey.apiKey })
    expect(asked.exit).toBe(1)
    expect(asked.stderr).toContain('say --yes')
    expect((await fetch(`${journey.service.url}/v1/summaries/${id}`)).status).toBe(404)

    const { exit, stdout } = await run(command, [...words, '--yes'], { FAIRPULL_KEY: journey.apiKey })
    expect(stdout).toMatch(/^Public since .*, with its runs:/)
    expect(exit).toBe(0)
    expect((await fetch(`${journey.service.url}/v1/summaries/${id}`)).status).toBe(200)
  })

  test('a session that does not hold is not sent', async () => {
    rmSync(join(folder, 'summary.jws'), { force: true })
    const path = join(folder, 'session', 'runs.csv')
    const [header, ...lines] = readFileSync(path, 'utf8').split('\n')
    const inOtherGear = lines.map((line) => (line === '' ? line : `${line};${line.includes(';modified;') ? 4 : 5}`))
    writeFileSync(path, [`${header};gear`, ...inOtherGear].join('\n'))
    const { exit, stdout } = await sign({ FAIRPULL_URL: journey.service.url, FAIRPULL_KEY: journey.apiKey })
    expect(stdout).toContain('Nothing is sent')
    expect(exit).toBe(1)
    expect(existsSync(join(folder, 'summary.jws'))).toBe(false)
  })
})
