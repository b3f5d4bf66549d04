/** A tool author: software that sends comparisons by the dozen, and has to know what became of each. */
import { ApiError, isApiError } from '@fairpull/sdk'
import { ordinaryNoise, simulateSession } from '@fairpull/sdk/testing'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { demoComparison } from '../../packages/service/demo/scenario/index.ts'
import { type Journey, startJourney } from '../support/journey.ts'

let journey: Journey

beforeAll(async () => {
  journey = await startJourney()
})

afterAll(() => journey.end())

const comparison = demoComparison('published-peaks', 1)

function simulated(seed: number) {
  return simulateSession({
    seed,
    design: 'ABA',
    runsPerBlock: 2,
    gain: { shape: 'uniform', percent: 2 },
    noise: ordinaryNoise,
    claims: [],
    channels: 'power-only',
  }).comparison
}

describe('many comparisons', () => {
  test('sent side by side are each answered, and all are in the list', async () => {
    const fairpull = journey.client()
    const created = await Promise.all(
      Array.from({ length: 24 }, (_, seed) => fairpull.assessments.create(simulated(seed + 1))),
    )
    const listed: string[] = []
    for await (const { id } of fairpull.assessments.list({ limit: 7 })) listed.push(id)
    expect(listed.slice(0, 24).sort()).toEqual(created.map(({ id }) => id).sort())
  })
})

describe('a request whose answer was lost', () => {
  test('is sent again under its key, and is carried out once', async () => {
    const lost = { answers: 2 }
    const losing: typeof fetch = async (input, init) => {
      const response = await journey.fetch(input, init)
      if (lost.answers-- > 0) throw new TypeError('the connection broke')
      return response
    }
    const before: string[] = []
    for await (const { id } of journey.client().assessments.list()) before.push(id)
    const { id } = await journey.client({ fetch: losing }).assessments.create(comparison)
    const after: string[] = []
    for await (const entry of journey.client().assessments.list()) after.push(entry.id)
    expect(after).toEqual([id, ...before])
  })

  test('is refused when the key is used for something else', async () => {
    const fairpull = journey.client()
    await fairpull.assessments.create(comparison, { idempotencyKey: 'job-17' })
    const outcome = await fairpull.assessments.create(simulated(1), { idempotencyKey: 'job-17' }).safe()
    expect(outcome.ok).toBe(false)
    if (!outcome.ok) expect(outcome.error).toMatchObject({ code: 'ERR_IDEMPOTENCY_KEY_REUSED', status: 422 })
  })

  test('many times at once is carried out once', async () => {
    const fairpull = journey.client()
    const all = await Promise.all(
      Array.from({ length: 30 }, () => fairpull.assessments.create(comparison, { idempotencyKey: 'job-18' })),
    )
    expect(new Set(all.map(({ summary }) => summary)).size).toBe(1)
  })
})

describe('a document that cannot be read', () => {
  test('is refused with a stable code and every member concerned, under a request id', async () => {
    const [run] = comparison.runs
    const wrong = { ...comparison, runs: [{ ...run, side: 'before', extra: 1 }] }
    const error = await journey
      .client()
      .assessments.create(wrong as never)
      .then(
        () => undefined,
        (thrown: unknown) => thrown,
      )
    expect(isApiError(error)).toBe(true)
    expect(error).toBeInstanceOf(ApiError)
    if (!isApiError(error)) return
    expect(error.code).toBe('ERR_BODY_INVALID')
    expect(error.errors.map(({ pointer }) => pointer).sort()).toEqual(['/runs/0/extra', '/runs/0/side'])
    expect(error.requestId).not.toBeNull()
  })

  test('and a key that is none: 401', async () => {
    const error = await journey
      .client({ apiKey: 'fp_none' })
      .assessments.create(comparison)
      .then(
        () => undefined,
        (thrown: unknown) => thrown,
      )
    expect(error).toMatchObject({ code: 'ERR_UNAUTHENTICATED', status: 401 })
  })
})
