/** A plan at the service as it is started: its own database, its own log, its own clock. */
import type { Comparison } from '@fairpull/sdk/contract'
import { assess } from '@fairpull/sdk/engine'
import { simulateSession } from '@fairpull/sdk/testing'
import { planLogEntry, planRunLogEntry } from '@fairpull/sdk/verify'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { bandMeanClaim, percent } from '../calibration/claims.ts'
import { type Journey, startJourney } from '../support/journey.ts'
import { planFor } from './support/play.ts'

let journey: Journey

beforeAll(async () => {
  journey = await startJourney()
})

afterAll(() => journey.end())

/** A session without a record, made now: a run every twenty seconds. */
function sessionOfToday(now_ms: number): Comparison {
  const { comparison } = simulateSession({
    seed: 4,
    design: 'ABA',
    runsPerBlock: 2,
    gain: { shape: 'uniform', percent: 6 },
    claims: [bandMeanClaim('power', percent(2))],
    channels: 'power-only',
  })
  const { record: _, ...facility } = comparison.facility ?? { id: 'cell' }
  const runs = comparison.runs.map((run, index) => ({
    ...run,
    startedAt: new Date(now_ms + 20_000 * index).toISOString(),
  }))
  const mountings = comparison.mountings?.map(({ at: __, ...mounting }) => mounting) ?? []
  return { ...comparison, facility, runs, mountings }
}

/** Entries of a log of fewer than 256, as its public files hold them: each with its length in two bytes before it. */
async function entriesOfLog(): Promise<readonly Buffer[]> {
  const read = async (path: string) => Buffer.from(await (await fetch(`${journey.service.url}${path}`)).arrayBuffer())
  const size = Number((await read('/log/checkpoint')).toString('utf8').split('\n')[1])
  const bundle = await read(`/log/tile/entries/000.p/${size}`)
  const entries: Buffer[] = []
  for (let at = 0; at < bundle.length; ) {
    const length = bundle.readUInt16BE(at)
    entries.push(bundle.subarray(at + 2, at + 2 + length))
    at += 2 + length
  }
  return entries
}

test('a plan is registered, run, assessed, published, and found in the public log', async () => {
  const { plans } = journey.client()
  const session = sessionOfToday(Date.now())
  const plan = await plans.create(planFor(session))
  for (const [index, run] of session.runs.entries()) {
    const mounting = index === 0 ? session.mountings?.[0] : undefined
    const request = { challenge: plan.challenge, run, ...(mounting === undefined ? {} : { mounting }) }
    expect((await plans.addRun(plan.id, request)).number).toBe(index + 1)
  }
  const { id, payload, result } = await plans.assess(plan.id)
  expect(payload.issue.registration).toBe('pre-registered')
  expect(result.plan?.rules.filter(({ kept }) => !kept)).toEqual([])
  expect(result.claims[0]?.sentence).toMatch(/^Supported, pre-registered: /)
  const comparison = await plans.comparison(plan.id)
  expect(await assess(comparison)).toEqual(result)

  const entries = await entriesOfLog()
  const { terms, salt, logIndex, runs } = comparison.plan ?? fail()
  const commitment = await planLogEntry({ plan: plan.id, version: 1, reason: null, terms }, salt)
  expect(entries[logIndex]).toEqual(Buffer.from(commitment))
  const record = await plans.get(plan.id)
  for (const { number, digest, logIndex: place } of runs) {
    const mounting = record.runs[number - 1]?.payload.mounting ?? null
    const entry = await planRunLogEntry({ plan: plan.id, number, digest, mounting }, salt)
    expect(entries[place]).toEqual(Buffer.from(entry))
  }

  const published = await journey.fetch(`${journey.service.url}/v1/assessments/${id}/publication`, {
    method: 'POST',
    headers: { authorization: `Bearer ${journey.apiKey}`, 'content-type': 'application/json' },
    body: JSON.stringify({ runs: false }),
  })
  expect(published.ok).toBe(true)
  const counters = await plans.counters({ publisher: 'Workshop A', product: 'simulated part' })
  expect(counters).toMatchObject({ opened: 1, done: 1, published: 1 })
})

function fail(): never {
  throw new Error('the comparison carries no plan')
}
