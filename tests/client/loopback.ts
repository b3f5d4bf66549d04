/** A real HTTP server on the loopback interface, one per test, and a clock that stands still. */
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { onTestFinished } from 'vitest'
import type { Clock } from '../../packages/sdk/src/client/index.ts'

/** A request as it arrived. */
export interface ReceivedRequest {
  readonly method: string
  readonly url: string
  readonly headers: IncomingMessage['headers']
  readonly body: string
}

/** A server and what it received. */
export interface Loopback {
  readonly baseUrl: string
  readonly received: readonly ReceivedRequest[]
  /** Stops listening before the test is over. */
  readonly close: () => Promise<void>
}

/** Answers the n-th request, counted from 1. */
export type Handler = (response: ServerResponse, request: ReceivedRequest, count: number, raw: IncomingMessage) => void

/** Starts a server that lives until the test is over. */
export async function listen(handler: Handler): Promise<Loopback> {
  const received: ReceivedRequest[] = []
  const server = createServer(async (raw, response) => {
    const chunks: Uint8Array[] = []
    try {
      for await (const chunk of raw) chunks.push(chunk)
    } catch {
      return
    }
    const body = Buffer.concat(chunks).toString('utf8')
    const request = { method: raw.method ?? '', url: raw.url ?? '', headers: raw.headers, body }
    received.push(request)
    handler(response, request, received.length, raw)
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const close = () => {
    server.closeAllConnections()
    return new Promise<void>((resolve) => server.close(() => resolve()))
  }
  onTestFinished(close)
  const { port } = server.address() as AddressInfo
  return { baseUrl: `http://127.0.0.1:${port}`, received, close }
}

/** Answers with JSON. */
export function answerJson(
  response: ServerResponse,
  value: unknown,
  status = 200,
  headers: Record<string, string> = {},
): void {
  response.writeHead(status, { 'content-type': 'application/json', 'x-request-id': 'req-1', ...headers })
  response.end(JSON.stringify(value))
}

/** Answers with problem+json. */
export function answerProblem(
  response: ServerResponse,
  status: number,
  code: string,
  headers: Record<string, string> = {},
): void {
  const problem = { type: 'about:blank', title: code, status, detail: 'It was refused.', code, requestId: 'req-7' }
  response.writeHead(status, { 'content-type': 'application/problem+json', 'x-request-id': 'req-7', ...headers })
  response.end(JSON.stringify(problem))
}

/** A clock whose time passes when the test says so. */
export interface ManualClock extends Clock {
  /** Waits that timers are set for now, in the order they were set. [ms] */
  readonly pending: () => readonly number[]
  /** Lets time pass; timers ring in the order of their time. [ms] */
  readonly advance: (time: number) => void
}

/**
 * A clock that stands still.
 *
 * @param skips waits that ring at once, so that a retry does not need a hand; they still move the clock.
 */
export function manualClock(skips: (wait: number) => boolean = () => false): ManualClock {
  let time = 1_700_000_000_000
  let timers: { readonly at: number; readonly wait: number; readonly ring: () => void }[] = []
  return {
    now: () => time,
    after: (wait, ring) => {
      const timer = { at: time + wait, wait, ring }
      if (skips(wait)) {
        time += wait
        queueMicrotask(ring)
      } else timers.push(timer)
      return () => {
        timers = timers.filter((each) => each !== timer)
      }
    },
    pending: () => timers.map(({ wait }) => wait),
    advance: (by) => {
      time += by
      const due = timers.filter(({ at }) => at <= time).sort((a, b) => a.at - b.at)
      timers = timers.filter(({ at }) => at > time)
      for (const { ring } of due) ring()
    },
  }
}

/** Waits until something holds, by looking again each time the event loop turns. */
export async function until(holds: () => boolean): Promise<void> {
  while (!holds()) await new Promise((resolve) => setImmediate(resolve))
}

/** A promise with its handle outside. */
export function signalled(): { readonly promise: Promise<void>; readonly resolve: () => void } {
  let resolve = () => {}
  const promise = new Promise<void>((done) => {
    resolve = done
  })
  return { promise, resolve: () => resolve() }
}
