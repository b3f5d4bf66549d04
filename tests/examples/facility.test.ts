/** The facility's example as its README says: a study here, the same at a service, and its record in use. */
import { execFile } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { readFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { assessStudy } from '@fairpull/sdk/engine'
import { readStudyFile } from '@fairpull/sdk/import'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type Journey, startJourney } from '../support/journey.ts'

const example = fileURLToPath(new URL('../../packages/sdk/examples/facility/', import.meta.url))
const command = fileURLToPath(new URL('../../packages/sdk/dist/cli/main.js', import.meta.url))

let journey: Journey
let folder: string

beforeAll(async () => {
  journey = await startJourney()
  folder = mkdtempSync(join(tmpdir(), 'facility-'))
})

afterAll(async () => {
  rmSync(folder, { recursive: true, force: true })
  await journey.end()
})

interface Ended {
  readonly exit: unknown
  readonly stdout: string
  readonly stderr: string
}

function study(words: readonly string[]) {
  const env = { ...process.env, FAIRPULL_KEY: journey.apiKey }
  return new Promise<Ended>((resolve) => {
    execFile(process.execPath, [command, 'study', ...words], { cwd: example, env }, (error, stdout, stderr) => {
      resolve({ exit: error === null ? 0 : error.code, stdout, stderr })
    })
  })
}

const readExample = async () =>
  readStudyFile(await readFile(join(example, 'spring.study.json')), (name) => readFile(join(example, name)))

describe('the facility’s example', () => {
  test('gives the whole record: repeatability, re-mounting and day, each measured', async () => {
    const { record, missing, components } = assessStudy(await readExample())
    expect(record).toMatchObject({
      on: '2026-03-05',
      repeatability: { degreesOfFreedom: 8, status: 'measured' },
      remounting: { degreesOfFreedom: 4, status: 'measured' },
      day: { degreesOfFreedom: 3, status: 'measured' },
    })
    expect(components?.analysis).toBe('nested-anova')
    expect(missing).toEqual([])
  })

  test('the command prints it, and saves the record', async () => {
    const out = join(folder, 'record.json')
    const { exit, stdout, stderr } = await study(['spring.study.json', '--strict', '--out', out])
    expect(stdout).toMatch(/^House machine, spring\nRepeatability 0\.\d+ % \(8 degrees of freedom\); re-mounting /)
    expect(stderr).toContain('Saved the facility record to')
    expect(exit).toBe(0)
    const { record } = assessStudy(await readExample())
    expect(JSON.parse(readFileSync(out, 'utf8'))).toEqual(record)
  })

  test('a service keeps it under an identity, and reads it back', async () => {
    const { exit, stdout, stderr } = await study(['spring.study.json', '--service', journey.service.url, '--json'])
    expect(stderr).toMatch(/Registered as [0-9a-f-]{36}/)
    expect(exit).toBe(0)
    const { id, studies } = JSON.parse(stdout)
    const kept = await journey.client().studies.get(id)
    expect(kept.result).toEqual(studies[0])
    expect(kept.result.record?.study).toBe(id)
  })
})
