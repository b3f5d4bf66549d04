/** `fairpull verify --log`: the log at an address and in a folder, withdrawals, and a plan that came before its runs. */
import { describe, expect, test } from 'vitest'
import type { Fairpull } from '../../packages/sdk/src/client/index.ts'
import type { Run } from '../../packages/sdk/src/contract/index.ts'
import { TILE_WIDTH, tilePath } from '../../packages/sdk/src/integrity/index.ts'
import { assess } from '../../packages/sdk/src/local/index.ts'
import { createFakeService, type FakeService, twoFigures } from '../../packages/sdk/src/testing/index.ts'
import { planExamples } from '../../packages/service/src/http/plan-examples.ts'
import { fairpull } from './command.ts'
import { expectGolden } from './golden.ts'

const LOG = 'http://fairpull.test/log'

/** A summary of a fresh service, in the files that a person would have. */
async function summaryFiles(publish = true) {
  const fake = await createFakeService()
  const client = fake.client()
  const { id, summary, log } = await client.assessments.create(twoFigures)
  if (publish) await client.summaries.publish(id)
  const files = {
    'summary.jws': summary,
    'answer.json': JSON.stringify({ id, summary, log }),
    'trust.json': JSON.stringify(fake.trust),
  }
  return { fake, client, id, files }
}

async function savedLog(fake: FakeService, id?: string): Promise<Readonly<Record<string, string | Uint8Array>>> {
  const bytesAt = async (path: string) =>
    new Uint8Array(await (await fake.fetch(`${fake.baseUrl}${path}`)).arrayBuffer())
  const checkpoint = await bytesAt('/log/checkpoint')
  const width = Math.min(TILE_WIDTH, Number(new TextDecoder().decode(checkpoint).split('\n')[1]))
  const tile = tilePath({ level: 0, index: 0, width })
  return {
    'saved/checkpoint': checkpoint,
    [`saved/${tile}`]: await bytesAt(`/log/${tile}`),
    ...(id === undefined ? {} : { [`saved/status/${id}.json`]: await bytesAt(`/v1/summaries/${id}/status`) }),
  }
}

const verify = (fake: FakeService, files: Readonly<Record<string, string | Uint8Array>>, words: readonly string[]) =>
  fairpull(['verify', ...words, '--keys', 'trust.json'], { files, fetch: fake.fetch, assess })

/** The report without the content of the summary. */
const ofTheSignature = (text: string) => text.slice(0, text.indexOf('\nWhat it says'))

describe('a log at an address', () => {
  test('holds the summary, whose keeper knows of no withdrawal', async () => {
    const { fake, files } = await summaryFiles()
    for (const file of ['summary.jws', 'answer.json']) {
      const { exit, stdout } = await verify(fake, files, [file, '--log', LOG])
      expect(stdout).toContain('a log you trust holds this summary')
      expect(stdout).toContain('Not withdrawn as of')
      expect(exit).toBe(0)
    }
  })

  test('shows a withdrawal, with an exit code of its own', async () => {
    const { fake, client, id, files } = await summaryFiles()
    await client.summaries.withdraw(id, 'a torn hose')
    const { exit, stdout } = await verify(fake, files, ['summary.jws', '--log', `${LOG}/`])
    expect(stdout).toContain('WITHDRAWN: ')
    expect(stdout).toContain('a torn hose')
    expect(exit).toBe(8)
    expectGolden('verify-withdrawn.stdout', ofTheSignature(stdout))
    const { stdout: json } = await verify(fake, files, ['summary.jws', '--log', LOG, '--json'])
    expect(JSON.parse(json).withdrawn).toMatchObject({ status: 'withdrawn', reason: 'a torn hose' })
  })

  test('says nothing of a withdrawal of a summary that is not public', async () => {
    const { fake, files } = await summaryFiles(false)
    const { exit, stdout } = await verify(fake, files, ['summary.jws', '--log', LOG, '--json'])
    expect(JSON.parse(stdout)).toMatchObject({ logged: { status: 'proven' }, withdrawn: { status: 'not-checked' } })
    expect(exit).toBe(0)
  })

  test('that is none, or does not answer, is named', async () => {
    const { fake, files } = await summaryFiles()
    expect(await verify(fake, files, ['summary.jws', '--log', 'http://fairpull.test/none'])).toMatchObject({
      exit: 1,
      stderr: expect.stringContaining('there is no log at http://fairpull.test/none'),
    })
    const away = { fetch: async () => Promise.reject(new TypeError('refused')) } as unknown as FakeService
    expect((await verify(away, files, ['summary.jws', '--log', LOG])).exit).toBe(7)
  })
})

describe('a log in a folder', () => {
  test('holds the summary; a saved status shows a withdrawal, and never that there is none', async () => {
    const { fake, client, id, files } = await summaryFiles()
    const before = { ...files, ...(await savedLog(fake, id)) }
    const { stdout } = await verify(fake, before, ['summary.jws', '--log', 'saved', '--json'])
    expect(JSON.parse(stdout)).toMatchObject({ logged: { status: 'proven' }, withdrawn: { status: 'not-checked' } })
    await client.summaries.withdraw(id, 'a torn hose')
    const after = { ...files, ...(await savedLog(fake, id)) }
    expect((await verify(fake, after, ['summary.jws', '--log', 'saved'])).exit).toBe(8)
  })

  test('that is older than the summary does not hold it, which refuses nothing', async () => {
    const { fake, client, files } = await summaryFiles()
    const log = await savedLog(fake)
    const { summary } = await client.assessments.create({ ...twoFigures, reportIn: 'din-70020' })
    const { exit, stdout } = await verify(fake, { ...files, ...log, 'new.jws': summary }, ['new.jws', '--log', 'saved'])
    expect(stdout).toContain('the log at hand does not hold this summary')
    expect(exit).toBe(0)
  })

  test('with a tile that was altered or is missing is named, and nothing follows from it', async () => {
    const { fake, files } = await summaryFiles()
    const log = await savedLog(fake)
    const tile = Object.keys(log).find((path) => path.includes('tile')) ?? ''
    const { [tile]: _, ...without } = log
    for (const damaged of [without, { ...log, [tile]: new Uint8Array(32) }]) {
      const { exit, stderr, stdout } = await verify(fake, { ...files, ...damaged }, ['summary.jws', '--log', 'saved'])
      expect(stderr).toContain('saved is no log to go by')
      expect(stdout).toBe('')
      expect(exit).toBe(1)
    }
  })

  test('whose saved withdrawal nobody signed is named', async () => {
    const { fake, client, id, files } = await summaryFiles()
    await client.summaries.withdraw(id, 'a torn hose')
    const log = await savedLog(fake, id)
    const path = `saved/status/${id}.json`
    const status = JSON.parse(new TextDecoder().decode(log[path] as Uint8Array))
    const forged = JSON.stringify({ ...status, withdrawal: { ...status.withdrawal, notice: 'x.y.z' } })
    const { exit, stderr } = await verify(fake, { ...files, ...log, [path]: forged }, ['summary.jws', '--log', 'saved'])
    expect(stderr).toContain('that nobody you trust signed')
    expect(exit).toBe(1)
  })
})

describe('a summary under a plan', () => {
  /** Two figures under a plan: what matters here is their order in the log. */
  async function assessedPlan(client: Fairpull) {
    const plan = await client.plans.create(planExamples.baselineModifiedBaseline)
    const run = (id: string, side: Run['side'], counter: number): Run => ({
      ...{ id, side, purpose: 'measured', mounting: 'm1', counter },
      reported: { peakPower: { value: 70 + counter, unit: 'kW' }, at: { value: 9800, unit: 'rpm' } },
    })
    const runs = [run('b1', 'baseline', 1), run('m1', 'modified', 2)]
    for (const each of runs) await client.plans.addRun(plan.id, { challenge: plan.challenge, run: each })
    await client.plans.close(plan.id)
    const { summary } = await client.plans.assess(plan.id)
    return { summary, comparison: await client.plans.comparison(plan.id) }
  }

  test('is shown to have had its plan first by its comparison and the log, and by nothing less', async () => {
    const fake = await createFakeService()
    const { summary, comparison } = await assessedPlan(fake.client())
    const files = {
      'summary.jws': summary,
      'trust.json': JSON.stringify(fake.trust),
      'comparison.json': JSON.stringify(comparison),
    }
    const whole = await verify(fake, files, ['summary.jws', '--comparison', 'comparison.json', '--log', LOG])
    expect(whole.stdout.replaceAll(/\s+/g, ' ')).toContain('the log holds the plan, as entry 0, before every run')
    expect(whole.exit).toBe(0)
    expectGolden('verify-plan-first.stdout', ofTheSignature(whole.stdout))
    const less = await verify(fake, files, ['summary.jws', '--log', LOG, '--json'])
    expect(JSON.parse(less.stdout).registration).toEqual({ stated: 'pre-registered', planFirst: 'not-checkable' })
  })
})
