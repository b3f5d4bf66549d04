import { connect, type Socket } from 'node:net'
import { setTimeout as pause } from 'node:timers/promises'
import type { Comparison } from '@fairpull/sdk/contract'
import { afterEach, describe, expect, test } from 'vitest'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { listen, type RunningServer } from '../../packages/service/src/http/server.ts'
import { plainResult } from '../support/plain-result.ts'
import { createTestApp, type TestApp, type TestAppOptions } from '../support/test-app.ts'

const closing: RunningServer[] = []
const sockets: Socket[] = []

afterEach(async () => {
  for (const socket of sockets.splice(0)) socket.destroy()
  await Promise.all(closing.splice(0).map((server) => server.close(0)))
})

const BODY_LIMIT = 100_000

async function served(
  options: TestAppOptions = {},
  requestTimeout_ms = 1_000,
): Promise<{ app: TestApp; server: RunningServer; port: number }> {
  const app = await createTestApp({ bodyLimit: BODY_LIMIT, ...options })
  const server = await listen({
    host: '127.0.0.1',
    port: 0,
    fetch: app.fetch,
    bodyLimit: BODY_LIMIT,
    freshId: () => 'fresh-request-id',
    linesAt: ['/v1/batches'],
    requestTimeout_ms,
  })
  closing.push(server)
  return { app, server, port: Number(new URL(server.url).port) }
}

/** A raw connection: what was received so far, and the moment at which the other side closed it. */
function rawConnection(port: number) {
  const socket = connect(port, '127.0.0.1')
  sockets.push(socket)
  const received: Buffer[] = []
  socket.on('data', (chunk) => received.push(chunk))
  socket.on('error', () => undefined)
  const closed = new Promise<void>((resolve) => socket.once('close', () => resolve()))
  const text = () => Buffer.concat(received).toString()
  const until = async (pattern: RegExp) => {
    while (!pattern.test(text())) await new Promise((resolve) => setTimeout(resolve, 5))
    return text()
  }
  return { socket, text, until, closed }
}

function problemIn(answer: string) {
  const [head = '', body = ''] = answer.split('\r\n\r\n')
  expect(head.toLowerCase()).toContain('content-type: application/problem+json')
  return { status: Number(head.split(' ')[1]), ...JSON.parse(body) }
}

function submission(app: TestApp) {
  return {
    method: 'POST',
    headers: { authorization: `Bearer ${app.key}`, 'content-type': 'application/json' },
    body: JSON.stringify(comparisonExamples.publishedFigures),
  }
}

describe('requests that are not HTTP as it should be', () => {
  test.each([
    ['no HTTP at all', 'hello\r\n\r\n', 400],
    ['a space in the name of a header field', 'GET /livez HTTP/1.1\r\nHost: a\r\nBad Name: x\r\n\r\n', 400],
    ['no Host field', 'GET /livez HTTP/1.1\r\n\r\n', 400],
    ['a Host field that is no host', 'GET /livez HTTP/1.1\r\nHost: a b\r\n\r\n', 400],
    ['an address that is none', 'GET http:// HTTP/1.1\r\nHost: a\r\n\r\n', 400],
    [
      'two lengths',
      'POST /v1/verifications HTTP/1.1\r\nHost: a\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\nxx',
      400,
    ],
    [
      'a length and chunks',
      'POST /v1/verifications HTTP/1.1\r\nHost: a\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n',
      400,
    ],
    ['too large header fields', `GET /livez HTTP/1.1\r\nHost: a\r\nX: ${'x'.repeat(20_000)}\r\n\r\n`, 431],
  ])('%s: problem+json', async (_what, request, status) => {
    const { port } = await served()
    const connection = rawConnection(port)
    connection.socket.write(request)
    const answer = await connection.until(/\r\n\r\n\{.*\}/s)
    expect(problemIn(answer)).toMatchObject({ status, requestId: 'fresh-request-id' })
  })
})

describe('clients that are too slow', () => {
  test.each([
    ['a head', 'GET /livez HTTP/1.1\r\nHost: a\r\n'],
    [
      'a body',
      'POST /v1/verifications HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\nContent-Length: 9\r\n\r\n{',
    ],
  ])('%s that does not end: 408, and the connection is closed', async (_what, request) => {
    const { port } = await served()
    const connection = rawConnection(port)
    connection.socket.write(request)
    expect(problemIn(await connection.until(/\r\n\r\n\{.*\}/s))).toMatchObject({ code: 'ERR_REQUEST_TIMEOUT' })
    await connection.closed
  })
})

describe('bodies of lines', () => {
  const head = (app: TestApp, length: number) =>
    `POST /v1/batches HTTP/1.1\r\nHost: a\r\nAuthorization: Bearer ${app.key}\r\nContent-Type: application/x-ndjson\r\nContent-Length: ${length}\r\n\r\n`

  test('may take longer than any other request, as long as they move', async () => {
    const { app, port } = await served()
    const connection = rawConnection(port)
    const line = '{"key":"a"}\n'
    connection.socket.write(head(app, 6 * line.length))
    for (let count = 0; count < 6; count += 1) {
      connection.socket.write(line)
      await pause(400)
    }
    expect(await connection.until(/"end":true/)).toContain('{"end":true,"lines":6}')
  })

  test('are cut when nothing comes any more', async () => {
    const { app, port } = await served()
    const connection = rawConnection(port)
    connection.socket.write(`${head(app, 100)}{"key":"a"}\n`)
    await connection.closed
    expect(connection.text()).not.toContain('"end":true')
  })
})

describe('bodies beyond the limit', () => {
  test('50 MB are answered 413, and the next request on the connection or a new one is served', async () => {
    const { app, server } = await served({}, 30_000)
    const response = await fetch(`${server.url}/v1/assessments`, { ...submission(app), body: Buffer.alloc(50e6, 0x20) })
    expect(response.status).toBe(413)
    expect((await response.json()).code).toBe('ERR_BODY_TOO_LARGE')
    expect((await fetch(`${server.url}/livez`)).status).toBe(200)
  })

  test('an answer ahead of the end of the body says that it is the last on its connection, any other does not', async () => {
    const { port } = await served()
    const head = (length: number) =>
      `POST /v1/verifications HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\nContent-Length: ${length}\r\n\r\n`
    const early = rawConnection(port)
    early.socket.write(`${head(BODY_LIMIT + 1)}{`)
    expect((await early.until(/\r\n\r\n\{.*\}/s)).toLowerCase()).toContain('connection: close')
    const late = rawConnection(port)
    late.socket.write(`${head(2)}{}`)
    expect((await late.until(/\r\n\r\n\{.*\}/s)).toLowerCase()).not.toContain('connection: close')
  })

  test('a body in chunks is cut at the limit, and answered 413', async () => {
    const { port } = await served()
    const connection = rawConnection(port)
    connection.socket.write(
      'POST /v1/verifications HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n',
    )
    const chunk = `2710\r\n${' '.repeat(10_000)}\r\n`
    for (let count = 0; count < 11; count += 1) connection.socket.write(chunk)
    expect(problemIn(await connection.until(/\r\n\r\n\{.*\}/s)).status).toBe(413)
    await connection.closed
  })

  test('a body that is announced as too large is refused without being asked for', async () => {
    const { port } = await served()
    const head = (length: number) =>
      `POST /v1/verifications HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\nExpect: 100-continue\r\nContent-Length: ${length}\r\n\r\n`
    const large = rawConnection(port)
    large.socket.write(head(BODY_LIMIT + 1))
    expect(problemIn(await large.until(/\r\n\r\n\{.*\}/s)).status).toBe(413)
    const small = rawConnection(port)
    small.socket.write(head(2))
    expect(await small.until(/\r\n\r\n/)).toContain('100 Continue')
    small.socket.write('{}')
    expect(await small.until(/422 /)).toContain('ERR_BODY_INVALID')
  })
})

/** An assessment that waits for the gate to open. */
function heldBack() {
  const gate: { open: () => void } = { open: () => undefined }
  const reached = { assessment: false }
  const assess = async (comparison: Comparison) => {
    reached.assessment = true
    await new Promise<void>((resolve) => {
      gate.open = resolve
    })
    return plainResult(comparison)
  }
  return { gate, reached, assess }
}

describe('an orderly end', () => {
  test('requests under way are answered, and nothing new is taken', async () => {
    const { gate, reached, assess } = heldBack()
    const { app, server } = await served({ assess })
    const underWay = fetch(`${server.url}/v1/assessments`, submission(app))
    while (!reached.assessment) await pause(5)

    const closed = server.close(60_000)
    await expect(fetch(`${server.url}/livez`, { headers: { connection: 'close' } })).rejects.toThrow()
    gate.open()
    expect((await underWay).status).toBe(201)
    await closed
    expect(app.store.issued).toHaveLength(1)
  })

  test('work whose client has left is done before it ends', async () => {
    const { gate, reached, assess } = heldBack()
    const { app, server } = await served({ assess })
    const leaving = new AbortController()
    const left = fetch(`${server.url}/v1/assessments`, { ...submission(app), signal: leaving.signal })
    while (!reached.assessment) await pause(5)
    leaving.abort()
    await expect(left).rejects.toThrow()

    const isClosed = { yet: false }
    const closed = server.close(60_000).then(() => {
      isClosed.yet = true
    })
    await pause(100)
    expect(isClosed.yet).toBe(false)
    gate.open()
    await closed
    expect(app.store.issued).toHaveLength(1)
  })

  test('a connection that stays open in silence does not hold it up', async () => {
    const { server, port } = await served()
    const idle = rawConnection(port)
    idle.socket.write('GET /livez HTTP/1.1\r\nHost: a\r\n\r\n')
    await idle.until(/live/)
    await server.close(60_000)
    await idle.closed
  })

  test('a request that never ends is cut when patience ends', async () => {
    const { server, port } = await served()
    const slow = rawConnection(port)
    slow.socket.write(
      'POST /v1/verifications HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\nContent-Length: 9\r\n\r\n{',
    )
    await new Promise((resolve) => setTimeout(resolve, 50))
    await server.close(100)
    await slow.closed
  })
})

test('an address that another program has is refused', async () => {
  const { port } = await served()
  const again = listen({
    host: '127.0.0.1',
    port,
    fetch: () => new Response(),
    bodyLimit: 1,
    linesAt: [],
    freshId: () => '',
  })
  await expect(again).rejects.toMatchObject({ code: 'EADDRINUSE' })
})
