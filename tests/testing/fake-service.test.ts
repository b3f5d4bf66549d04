import { createFakeService, type FakeService, failures, recordedSession, twoFigures } from '@fairpull/sdk/testing'
import { describe, expect, test } from 'vitest'
import { failureOf } from '../client/clients.ts'

describe('the fake service', () => {
  test('assesses with the real engine, signs, logs, and is verified in full', async () => {
    const fake = await createFakeService()
    const { result, report } = await fake.client().assessments.create(recordedSession())
    expect(result.claims).toMatchObject([{ claim: 'mid-range', judgement: 'supported' }])
    expect(report).toMatchObject({ verdict: 'verified', logged: { status: 'proven' } })
  })

  test('gives the same bytes for the same requests in the same order', async () => {
    const once = async () => (await (await createFakeService()).client().assessments.create(twoFigures)).summary
    expect(await once()).toBe(await once())
  })

  test('holds what was sent for the test to look at', async () => {
    const fake = await createFakeService()
    await fake.client().assessments.create(twoFigures, { idempotencyKey: 'job-1' })
    expect(fake.received.map(({ method, url }) => `${method} ${url}`)).toEqual([
      'POST http://fairpull.test/v1/assessments',
    ])
    expect(fake.received[0]?.headers.get('idempotency-key')).toBe('job-1')
    expect(await fake.received[0]?.json()).toEqual(twoFigures)
  })

  test('keeps to the limits it is given', async () => {
    const fake = await createFakeService({ rateLimit_perMinute: 1, bodyLimit: 200 })
    const fairpull = fake.client({ retries: 0 })
    expect(await failureOf(fairpull.assessments.create(twoFigures))).toMatchObject({ code: 'ERR_BODY_TOO_LARGE' })
    expect(await failureOf(fairpull.assessments.list().next())).toMatchObject({ code: 'ERR_RATE_LIMITED' })
  })

  test('lets in no other key', async () => {
    const fake = await createFakeService()
    expect(await failureOf(fake.client({ apiKey: 'fp_other' }).assessments.create(twoFigures))).toMatchObject({
      status: 401,
    })
  })
})

describe('failures', () => {
  const created = (fake: FakeService, options = {}) => fake.client(options).assessments.create(twoFigures)

  test('a rate limit is waited out', async () => {
    const fake = await createFakeService()
    fake.failNext(failures.rateLimited({ retryAfter_s: 1, times: 2 }))
    expect((await created(fake)).report.verdict).toBe('verified')
    expect(fake.received).toHaveLength(3)
  })

  test('a rate limit of a day ends the call', async () => {
    const fake = await createFakeService()
    fake.failNext(failures.rateLimited({ retryAfter_s: 86_400 }))
    expect(await failureOf(created(fake))).toMatchObject({ code: 'ERR_RATE_LIMITED', retryAfter: 86_400_000 })
  })

  test('a conflict is no reason to try again', async () => {
    const fake = await createFakeService()
    fake.failNext(failures.conflict())
    expect(await failureOf(created(fake))).toMatchObject({ status: 409, code: 'ERR_SUPERSEDES' })
    expect(fake.received).toHaveLength(1)
  })

  test('a service that is away and a proxy in its place are tried again', async () => {
    const fake = await createFakeService()
    fake.failNext(failures.unavailable())
    fake.failNext(failures.proxyPage())
    expect((await created(fake)).report.verdict).toBe('verified')
    expect(fake.received).toHaveLength(3)
  })

  test('a lost answer had its effect, once', async () => {
    const fake = await createFakeService()
    fake.failNext(failures.lostAnswer())
    const { id } = await created(fake)
    const listed: string[] = []
    for await (const entry of fake.client().assessments.list()) listed.push(entry.id)
    expect(listed).toEqual([id])
  })

  test('a body that does not end runs into the time limit', async () => {
    const fake = await createFakeService()
    fake.failNext(failures.slowBody())
    const clock = { now: () => Date.now(), after: (_: number, ring: () => void) => cancelled(setTimeout(ring, 20)) }
    const error = await failureOf(created(fake, { retries: 0, runtime: { clock } }))
    expect(error).toMatchObject({ name: 'TimeoutError' })
  })

  test('an altered summary is refused, and its payload is not exposed', async () => {
    const fake = await createFakeService()
    fake.failNext(failures.tamperedSummary())
    const error = await failureOf(created(fake))
    expect(error).toMatchObject({ name: 'VerificationError', step: 'signature' })
    expect(error).not.toHaveProperty('payload')
  })

  test('strike the operation they are meant for, and can be taken back', async () => {
    const fake = await createFakeService()
    fake.failNext(failures.unavailable({ operation: 'getProtocol' }))
    const takeBack = fake.failNext(failures.conflict({ operation: 'createAssessment' }))
    takeBack()
    await created(fake, { retries: 0 })
    expect(await failureOf(fake.client({ retries: 0 }).protocols.get('motorcycle-rollers@1'))).toMatchObject({
      status: 503,
    })
  })
})

function cancelled(timer: NodeJS.Timeout): () => void {
  return () => clearTimeout(timer)
}
