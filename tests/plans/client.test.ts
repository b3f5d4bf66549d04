/** Plans through the client and the command. */
import { Fairpull } from '@fairpull/sdk'
import { assess } from '@fairpull/sdk/engine'
import { simulateSession } from '@fairpull/sdk/testing'
import { beforeEach, describe, expect, test } from 'vitest'
import { planExamples } from '../../packages/service/src/http/plan-examples.ts'
import { bandMeanClaim, percent } from '../calibration/claims.ts'
import { fairpull } from '../cli/command.ts'
import { failureOf } from '../client/clients.ts'
import { createRegister, planFor, type Register } from './support/play.ts'

const session = simulateSession({
  seed: 21,
  design: 'ABA',
  runsPerBlock: 2,
  gain: { shape: 'uniform', percent: 4 },
  claims: [bandMeanClaim('power', percent(1))],
  channels: 'power-only',
}).comparison

let register: Register
let client: Fairpull
let fetchThere: typeof fetch

beforeEach(async () => {
  const record = session.facility?.record
  register = await createRegister(record?.study === undefined ? {} : { [record.study]: record })
  fetchThere = async (input, init) => register.app.fetch(new Request(input, init))
  const options = { baseUrl: 'http://service.test', apiKey: register.app.key, fetch: fetchThere, retries: 0 }
  const { keys } = await new Fairpull(options).keys.jwks()
  const trust = { keys: keys.map((jwk) => ({ jwk, issuer: 'Test service', notBefore: '2026-01-01T00:00:00Z' })) }
  client = new Fairpull({ ...options, trust })
})

describe('the client', () => {
  test('registers, logs every run, has them assessed, and can compute the result again', async () => {
    const plan = await client.plans.create(planFor(session))
    const described = new Set<string>()
    for (const run of session.runs) {
      register.setTime(Date.parse(run.startedAt ?? '') + 60_000)
      const mounting = session.mountings?.find(({ id }) => id === run.mounting && !described.has(id))
      if (mounting !== undefined) described.add(mounting.id)
      const request = { challenge: plan.challenge, run, ...(mounting === undefined ? {} : { mounting }) }
      expect((await client.plans.addRun(plan.id, request)).excludedBy).toBeNull()
    }
    const { id, report, result, payload } = await client.plans.assess(plan.id)
    expect(report.verdict).toBe('verified')
    expect(payload.issue.registration).toBe('pre-registered')
    expect(await assess(await client.plans.comparison(plan.id))).toEqual(result)
    expect(await client.plans.get(plan.id)).toMatchObject({ status: 'assessed', assessment: id })
    const counters = await client.plans.counters({ publisher: 'Workshop A', product: 'simulated part' })
    expect(counters).toMatchObject({ opened: 1, done: 1 })
  })

  test('amends, closes, gives up and takes back', async () => {
    const amended = await client.plans.create(planExamples.baselineModifiedBaseline)
    const plan = { ...planExamples.baselineModifiedBaseline, conditioningRuns: 4 }
    expect((await client.plans.amend(amended.id, { reason: 'A cold day.', plan })).amendments).toHaveLength(1)
    expect((await client.plans.withdraw(amended.id)).status).toBe('withdrawn')
    expect(await failureOf(client.plans.close(amended.id))).toMatchObject({ status: 409, code: 'ERR_PLAN_STATE' })
    expect(await failureOf(client.plans.abandon(amended.id))).toMatchObject({ status: 409 })
  })

  test('lists plans to the end, newest first', async () => {
    const made: string[] = []
    for (let k = 0; k < 5; k += 1) made.unshift((await client.plans.create(planExamples.interleavedByLot)).id)
    const listed: string[] = []
    for await (const { id } of client.plans.list({ limit: 2 })) listed.push(id)
    expect(listed).toEqual(made)
  })
})

describe('fairpull plan', () => {
  const files = { 'silencer.plan.json': JSON.stringify(planExamples.interleavedByLot) }
  const command = (...words: readonly string[]) =>
    fairpull(['plan', ...words], { files, fetch: fetchThere, env: { FAIRPULL_KEY: register.app.key } })

  test('shows what a file would freeze, and registers nothing without a service', async () => {
    const { exit, stdout, stderr } = await command('silencer.plan.json')
    expect(exit).toBe(0)
    expect(stdout).toContain('8 baseline and 8 modified runs, drawn from the seed 20260502.')
    expect(stdout).toMatch(/m1: 3 conditioning, then 1 /)
    expect(stdout).toContain('Primary, power: At least 2 % more wheel power, mean from 4,000 to')
    expect(stderr).toContain('Not registered.')
    expect(register.app.entries).toHaveLength(0)
  })

  test('registers it, and shows it again with its challenge', async () => {
    const made = await command('silencer.plan.json', '--service', 'http://service.test')
    expect(made.exit).toBe(0)
    expect(made.stdout).toContain('OPEN: no run is logged yet')
    expect(made.stdout).toMatch(/^Challenge: 0{64}$/m)
    const [, id = ''] = /fairpull plan show (\S+)/.exec(made.stderr) ?? []
    const shown = await command('show', id, '--service', 'http://service.test')
    expect(shown.stdout).toBe(made.stdout)
    const json = await command('show', id, '--service', 'http://service.test', '--json')
    expect(JSON.parse(json.stdout)).toMatchObject({ id, status: 'open', remaining: 16 })
  })

  test.each([
    ['a file that is no plan', ['none.json'], 1, 'none.json cannot be read'],
    ['show without an identity', ['show'], 1, 'identity of the plan is missing'],
    ['show without a service', ['show', 'x'], 1, 'read from the service'],
    ['two files', ['silencer.plan.json', 'more'], 1, 'one word too many'],
    [
      'a plan that nobody has',
      ['show', '01890000-0000-7000-8000-00000000ffff', '--service', 'http://service.test'],
      7,
      'ERR_NOT_FOUND',
    ],
  ])('%s is said in one sentence', async (_, words, exit, says) => {
    const outcome = await command(...words)
    expect(outcome.exit).toBe(exit)
    expect(outcome.stderr).toContain(says)
  })

  test('names every member that keeps a plan from being read', async () => {
    const wrong = { ...planExamples.baselineModifiedBaseline, product: undefined, exclusionRules: ['other'] }
    const { exit, stderr } = await fairpull(['plan', 'p.json'], { files: { 'p.json': JSON.stringify(wrong) } })
    expect(exit).toBe(1)
    expect(stderr).toContain('/product')
    expect(stderr).toContain('/exclusionRules/0')
  })
})
