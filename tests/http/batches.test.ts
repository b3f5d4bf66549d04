import { describe, expect, onTestFinished, test } from 'vitest'
import { listen } from '../../packages/service/src/http/server.ts'
import { fullRegisteredPlan } from '../contract/plan-fixture.ts'
import { createTestApp, type TestApp } from '../support/test-app.ts'

const comparison = {
  protocol: 'motorcycle-rollers@1',
  runs: [{ id: 'b1', side: 'baseline', purpose: 'measured', reported: { peakPower: { value: 70, unit: 'kW' } } }],
}

const line = (key: unknown, body: unknown = comparison) => `${JSON.stringify({ key, comparison: body })}\n`

type Answered = Readonly<Record<string, unknown>> & {
  readonly problem?: { readonly code: string; readonly errors?: readonly { readonly pointer: string }[] }
  readonly assessment?: { readonly id: string }
}

async function sent(app: TestApp, body: BodyInit, headers: Record<string, string> = {}) {
  const response = await app.request('/v1/batches', {
    method: 'POST',
    headers: { authorization: `Bearer ${app.key}`, 'content-type': 'application/x-ndjson', ...headers },
    body,
    duplex: 'half',
  } as RequestInit)
  const text = await response.text()
  return { response, lines: response.ok ? linesOf(text) : [], text }
}

function linesOf(text: string): readonly Answered[] {
  return text
    .trimEnd()
    .split('\n')
    .map((each) => JSON.parse(each))
}

describe('a batch', () => {
  test('is answered line by line in its order, and says at its end how many there were', async () => {
    const app = await createTestApp()
    const { lines } = await sent(app, ['a', 'b', 'c'].map((key) => line(key)).join(''))
    expect(lines.map(({ line: number, key, status }) => [number, key, status])).toEqual([
      [1, 'a', 201],
      [2, 'b', 201],
      [3, 'c', 201],
      [undefined, undefined, undefined],
    ])
    expect(lines.at(-1)).toEqual({ end: true, lines: 3 })
    expect(app.store.issued.map(({ idempotency }) => idempotency?.key)).toEqual(['a', 'b', 'c'])
  })

  test('holds the very bytes of the assessments in it', async () => {
    const app = await createTestApp()
    const { lines, text } = await sent(app, line('a'))
    const path = `/v1/assessments/${lines[0]?.assessment?.id}`
    const alone = await (await app.request(path, { headers: { authorization: `Bearer ${app.key}` } })).text()
    expect(text).toContain(`"assessment":${alone}}\n`)
  })

  test('goes on after a line that is refused, and says of each why and where', async () => {
    const app = await createTestApp({ bodyLimit: 400 })
    const bodies = [
      '{"key":"a",',
      '[1]',
      JSON.stringify({ key: 'x y', comparison }),
      JSON.stringify({ comparison, other: 1 }),
      JSON.stringify({ key: 'e' }),
      JSON.stringify({ key: 'f', comparison: { ...comparison, protocol: 'cars@9' } }),
      JSON.stringify({ key: 'g', comparison: { ...comparison, reportIn: 'x' } }),
      JSON.stringify({ key: 'h', comparison, padding: 'x'.repeat(400) }),
      JSON.stringify({ key: 'i', comparison }),
    ]
    const { lines } = await sent(app, bodies.join('\n'))
    expect(
      lines.map(({ key, status, problem }) => [key, status, problem?.code, problem?.errors?.[0]?.pointer]),
    ).toEqual([
      [null, 400, 'ERR_JSON', ''],
      [null, 422, 'ERR_BODY_INVALID', ''],
      ['x y', 422, 'ERR_BODY_INVALID', '/key'],
      [null, 422, 'ERR_BODY_INVALID', '/other'],
      ['e', 422, 'ERR_BODY_INVALID', '/comparison'],
      ['f', 422, 'ERR_BODY_INVALID', '/comparison/protocol'],
      ['g', 422, 'ERR_BODY_INVALID', '/comparison/reportIn'],
      [null, 413, 'ERR_BODY_TOO_LARGE', undefined],
      ['i', 201, undefined, undefined],
      [undefined, undefined, undefined, undefined],
    ])
    expect(app.store.issued).toHaveLength(1)
  })

  test('passes over blank lines but counts them, and takes either line end and a last line without one', async () => {
    const app = await createTestApp()
    const { lines } = await sent(app, `\n${line('a').trimEnd()}\r\n  \r\n${line('b').trimEnd()}`)
    expect(lines.map(({ line: number }) => number)).toEqual([2, 4, undefined])
  })

  test('without a line has an answer without one', async () => {
    const app = await createTestApp()
    expect((await sent(app, '\n')).lines).toEqual([{ end: true, lines: 0 }])
  })

  test('that is sent again has the same answers and no further effect', async () => {
    const app = await createTestApp()
    const half = await sent(app, line('a'))
    const whole = await sent(app, line('a') + line('b'))
    expect(whole.lines.map(({ replayed }) => replayed)).toEqual([true, false, undefined])
    expect(whole.lines[0]?.assessment).toEqual(half.lines[0]?.assessment)
    expect(app.store.issued).toHaveLength(2)
  })

  test('refuses a plan that somebody says of himself: only the register writes it', async () => {
    const app = await createTestApp()
    const { lines } = await sent(app, line('a', { ...comparison, plan: fullRegisteredPlan() }))
    expect(lines[0]).toMatchObject({
      status: 422,
      problem: { errors: [{ pointer: '/comparison/plan', code: 'ERR_PLAN_NOT_HERE' }] },
    })
    expect(app.store.issued).toHaveLength(0)
  })

  test('refuses a key that was used for something else', async () => {
    const app = await createTestApp()
    const { lines } = await sent(app, line('a') + line('a', { ...comparison, reportIn: 'sae-j607' }))
    expect(lines.map(({ status, problem }) => [status, problem?.code])).toEqual([
      [201, undefined],
      [422, 'ERR_IDEMPOTENCY_KEY_REUSED'],
      [undefined, undefined],
    ])
  })

  test('goes on after a line that fails; the log has the failure, the answer nothing of it', async () => {
    const app = await createTestApp({ assess: () => Promise.reject(new Error('secret')) })
    const { lines, text } = await sent(app, line('a') + line('b'))
    expect(lines.map(({ status }) => status)).toEqual([500, 500, undefined])
    expect(text).not.toContain('secret')
    expect(app.log.filter(({ event }) => event === 'failure')).toHaveLength(2)
  })

  test('that is cut by the end of the service says of each line that it is to be sent again', async () => {
    const app = await createTestApp()
    const source = pieces([line('a'), line('b')], (index) => {
      app.lifecycle.isDraining = index === 1
    })
    const { lines } = await sent(app, source)
    expect(lines.map(({ status, retryAfter }) => [status, retryAfter])).toEqual([
      [201, undefined],
      [503, 1],
      [undefined, undefined],
    ])
  })

  test('is refused as a whole without a key, and in another type', async () => {
    const app = await createTestApp()
    expect((await sent(app, line('a'), { authorization: 'Bearer fp_none' })).response.status).toBe(401)
    expect((await sent(app, line('a'), { 'content-type': 'application/json' })).response.status).toBe(415)
    expect((await sent(app, line('a'), { 'content-encoding': 'gzip' })).response.status).toBe(415)
  })
})

describe('the two streams of a batch', () => {
  test('a line is answered before the next one is there', async () => {
    const { body, reader } = await opened(line('a'))
    expect((await reader.read()).value).toContain('"key":"a","status":201')
    body.write(line('b'))
    expect((await reader.read()).value).toContain('"key":"b","status":201')
    body.end()
    expect((await reader.read()).value).toBe('{"end":true,"lines":2}\n')
  })

  test('a body whose answer is not read is not read either', async () => {
    const state = { pulled: 0 }
    const source = pieces(
      Array.from({ length: 50 }, (_, index) => line(`k${index}`)),
      () => {
        state.pulled += 1
      },
    )
    const app = await createTestApp()
    const response = await app.fetch(batchRequest('http://service.test', app, source))
    const reader = response.body?.getReader()
    expect(await settled(() => state.pulled)).toBeLessThanOrEqual(1)
    await reader?.read()
    expect(await settled(() => state.pulled)).toBeLessThanOrEqual(3)
    await reader?.cancel()
    expect(await settled(() => app.store.issued.length)).toBeLessThanOrEqual(3)
  })
})

/** A body that is written by hand, and the answer to it as it arrives, over a real connection. */
async function opened(first: string) {
  const app = await createTestApp()
  const place = { host: '127.0.0.1', port: 0, linesAt: ['/v1/batches'] }
  const server = await listen({ ...place, fetch: app.fetch, bodyLimit: 65_536, freshId: () => 'id' })
  onTestFinished(() => server.close(0))
  const { readable, writable } = new TransformStream<Uint8Array, Uint8Array>()
  const writer = writable.getWriter()
  void writer.write(new TextEncoder().encode(first))
  const response = await fetch(batchRequest(server.url, app, readable))
  const decoded = response.body?.pipeThrough(new TextDecoderStream())
  if (decoded === undefined) throw new Error('the answer has no body')
  const body = {
    write: (text: string) => void writer.write(new TextEncoder().encode(text)),
    end: () => void writer.close(),
  }
  return { body, reader: decoded.getReader() }
}

function batchRequest(origin: string, app: TestApp, body: ReadableStream<Uint8Array>): Request {
  const init = { method: 'POST', body, duplex: 'half', headers: headersFor(app) }
  return new Request(`${origin}/v1/batches`, init as RequestInit)
}

function headersFor(app: TestApp) {
  return { authorization: `Bearer ${app.key}`, 'content-type': 'application/x-ndjson' }
}

/** A body in pieces, each made when it is asked for. */
function pieces(texts: readonly string[], onPull: (index: number) => void): ReadableStream<Uint8Array> {
  const left = texts.map((text, index) => ({ text, index }))
  return new ReadableStream(
    {
      pull: (controller) => {
        const next = left.shift()
        if (next === undefined) return controller.close()
        onPull(next.index)
        controller.enqueue(new TextEncoder().encode(next.text))
      },
    },
    { highWaterMark: 0 },
  )
}

/** A figure once nothing changes it any more. */
async function settled(figure: () => number): Promise<number> {
  for (let turn = 0; turn < 50; turn++) await new Promise((resolve) => setImmediate(resolve))
  return figure()
}
