import { describe, expect, test } from 'vitest'
import type { RetryEvent } from '../../packages/sdk/src/client/index.ts'
import { clientOn, failureOf } from './clients.ts'
import { answerJson, answerProblem, listen, manualClock, until } from './loopback.ts'

const list = { items: [], nextCursor: null }

describe('retries', () => {
  test.each([408, 425, 429, 500, 502, 503, 504])('after %i the request is sent again', async (status) => {
    const server = await listen((response, _, count) => {
      if (count === 1) answerProblem(response, status, 'ERR_PASSING')
      else answerJson(response, list)
    })
    await expect(clientOn(server.baseUrl).protocols.list()).resolves.toEqual(list)
    expect(server.received).toHaveLength(2)
  })

  test.each([400, 401, 403, 404, 405, 409, 413, 415, 422, 501])('after %i it is not', async (status) => {
    const server = await listen((response) => answerProblem(response, status, 'ERR_LASTING'))
    const error = await failureOf(clientOn(server.baseUrl).protocols.list())
    expect(error).toMatchObject({ name: 'ApiError', code: 'ERR_LASTING', status })
    expect(server.received).toHaveLength(1)
  })

  test('a conflict that says when to come back is sent again', async () => {
    const server = await listen((response, _, count) => {
      if (count === 1) answerProblem(response, 409, 'ERR_IN_FLIGHT', { 'retry-after': '1' })
      else answerJson(response, list)
    })
    await clientOn(server.baseUrl).protocols.list()
    expect(server.received).toHaveLength(2)
  })

  test('the last error comes out when all attempts are used, with their number', async () => {
    const server = await listen((response) => answerProblem(response, 503, 'ERR_BUSY'))
    const error = await failureOf(clientOn(server.baseUrl, { retries: 2 }).protocols.list())
    expect(error).toMatchObject({ code: 'ERR_BUSY', exchange: { attempts: 3 } })
    expect(error.message).toContain('Attempts: 3.')
    expect(server.received).toHaveLength(3)
  })

  test('a POST carries one idempotency key through all its attempts, and another call another one', async () => {
    const server = await listen((response, _, count) => {
      if (count === 1) answerProblem(response, 503, 'ERR_BUSY')
      else answerJson(response, { dryRun: true, result: {} })
    })
    const client = clientOn(server.baseUrl)
    await client.assessments.create({ protocol: 'p', runs: [] }, { dryRun: true })
    await client.assessments.create({ protocol: 'p', runs: [] }, { dryRun: true })
    const keys = server.received.map(({ headers }) => headers['idempotency-key'])
    expect(keys[0]).toMatch(/^[0-9a-f-]{36}$/)
    expect(keys[1]).toBe(keys[0])
    expect(keys[2]).not.toBe(keys[0])
  })

  test('the caller’s own idempotency key is the one that is sent', async () => {
    const server = await listen((response) => answerJson(response, { dryRun: true, result: {} }))
    const options = { dryRun: true, idempotencyKey: 'mine' } as const
    await clientOn(server.baseUrl).assessments.create({ protocol: 'p', runs: [] }, options)
    expect(server.received[0]?.headers['idempotency-key']).toBe('mine')
  })

  test('a GET carries none', async () => {
    const server = await listen((response) => answerJson(response, list))
    await clientOn(server.baseUrl).protocols.list()
    expect(server.received[0]?.headers).not.toHaveProperty('idempotency-key')
  })

  test('a connection that was kept alive and is reset under the request is opened again', async () => {
    const server = await listen((response, request, count, raw) => {
      if (count === 2) raw.socket.resetAndDestroy()
      else answerJson(response, { url: request.url })
    })
    const client = clientOn(server.baseUrl)
    await client.protocols.get('first')
    await expect(client.protocols.get('second')).resolves.toEqual({ url: '/v1/protocols/second' })
    expect(server.received.map(({ url }) => url)).toEqual([
      '/v1/protocols/first',
      '/v1/protocols/second',
      '/v1/protocols/second',
    ])
  })

  test('a body that is a stream is sent once: it cannot be read again', async () => {
    const server = await listen((response) => answerProblem(response, 503, 'ERR_BUSY'))
    const body = new ReadableStream<Uint8Array>({
      start: (controller) => {
        controller.enqueue(new TextEncoder().encode('{}'))
        controller.close()
      },
    })
    const error = await failureOf(clientOn(server.baseUrl).request({ method: 'POST', path: '/v1/batches', body }))
    expect(error).toMatchObject({ code: 'ERR_BUSY', exchange: { attempts: 1 } })
    expect(server.received.map((each) => each.body)).toEqual(['{}'])
  })
})

describe('waits between attempts', () => {
  async function waitsOf(
    headers: Record<string, string>,
    random: number,
    options: { readonly retryAfterCap?: number } = {},
  ) {
    const waits: number[] = []
    const server = await listen((response, _, count) => {
      if (count < 4) answerProblem(response, 503, 'ERR_BUSY', headers)
      else answerJson(response, list)
    })
    const onRetry = ({ wait }: RetryEvent) => void waits.push(wait)
    const client = clientOn(server.baseUrl, { ...options, hooks: { onRetry }, runtime: { random: () => random } })
    const outcome = await client.protocols.list().safe()
    return { waits, outcome, attempts: server.received.length }
  }

  // Full jitter: random · 250 ms · 2^(attempt − 1); see the docstring of waitBefore.
  test.each([
    [0, [0, 0, 0]],
    [0.5, [125, 250, 500]],
    [1, [250, 500, 1000]],
  ])('double with full jitter; with the random number %d they are %j ms', async (random, expected) => {
    expect((await waitsOf({}, random)).waits).toEqual(expected)
  })

  test('follow Retry-After in seconds, with the jitter on top', async () => {
    expect((await waitsOf({ 'retry-after': '2' }, 1)).waits).toEqual([2250, 2500, 3000])
  })

  test('follow a Retry-After date against the date of the answer, not against the clock here', async () => {
    const headers = { date: 'Thu, 01 Jan 1998 00:00:00 GMT', 'retry-after': 'Thu, 01 Jan 1998 00:00:03 GMT' }
    expect((await waitsOf(headers, 0)).waits).toEqual([3000, 3000, 3000])
  })

  test('ignore a Retry-After that is neither a number of seconds nor a date', async () => {
    expect((await waitsOf({ 'retry-after': 'soon' }, 1)).waits).toEqual([250, 500, 1000])
  })

  test('a Retry-After of three days ends the call at once and says so', async () => {
    const { waits, outcome, attempts } = await waitsOf({ 'retry-after': '259200' }, 1)
    expect(waits).toEqual([])
    expect(attempts).toBe(1)
    expect(outcome).toMatchObject({ ok: false, error: { code: 'ERR_BUSY', retryAfter: 259_200_000 } })
    expect(outcome.ok ? '' : outcome.error.message).toContain('The service asks to wait 3 days.')
  })

  // The cap itself is still followed, one second more is not.
  test.each([
    ['5', 4],
    ['6', 1],
  ])('with a cap of 5 s a Retry-After of %s s leads to %i attempts', async (seconds, attempts) => {
    expect((await waitsOf({ 'retry-after': seconds }, 0, { retryAfterCap: 5_000 })).attempts).toBe(attempts)
  })

  test('a wait that would outlast the deadline is not begun; the last answer comes out', async () => {
    const server = await listen((response) => answerProblem(response, 503, 'ERR_BUSY', { 'retry-after': '50' }))
    const clock = manualClock()
    const client = clientOn(server.baseUrl, { deadline: 40_000, runtime: { clock } })
    expect(await failureOf(client.protocols.list())).toMatchObject({ code: 'ERR_BUSY' })
    expect(clock.pending()).toEqual([])
  })

  test('no timer is left behind when a call is over', async () => {
    const server = await listen((response) => answerJson(response, list))
    const clock = manualClock()
    await clientOn(server.baseUrl, { runtime: { clock } }).protocols.list()
    await until(() => clock.pending().length === 0)
    expect(clock.pending()).toEqual([])
  })
})
