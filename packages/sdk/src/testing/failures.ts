/** What can go wrong between a client and a service, to be played in a test. */
import { tampered } from './fixtures.ts'

/** A failure, and when it strikes. */
export interface Failure {
  /** Requests that it strikes: those of this operation, such as `createAssessment`. Default: all. */
  readonly operation?: string
  /** How many of them, the next ones. [1], from 1; default 1 */
  readonly times?: number
  /**
   * What is answered instead. `next` lets the request through to the service; a rejection is a connection that broke.
   */
  readonly answer: (request: Request, next: (request: Request) => Promise<Response>) => Promise<Response>
}

/** Which requests a failure strikes. */
export type Strikes = Pick<Failure, 'operation' | 'times'>

/** The failures that software has to live with. */
export const failures = {
  /** 429: the key has no request left; the answer says when to come back. */
  rateLimited: (when: Strikes & { readonly retryAfter_s?: number } = {}): Failure => ({
    ...strikes(when),
    answer: async () =>
      problem(429, 'ERR_RATE_LIMITED', 'This API key has no request left.', {
        'retry-after': String(when.retryAfter_s ?? 1),
      }),
  }),
  /** 409: these runs belong to a summary that was withdrawn. Sending it again does not help. */
  conflict: (when: Strikes = {}): Failure => ({
    ...strikes(when),
    answer: async () => problem(409, 'ERR_SUPERSEDES', 'These runs belong to a withdrawn summary.'),
  }),
  /** 503: the service shuts down or its database is away. */
  unavailable: (when: Strikes = {}): Failure => ({
    ...strikes(when),
    answer: async () => problem(503, 'ERR_STORE_UNAVAILABLE', 'The database does not answer.', { 'retry-after': '1' }),
  }),
  /** 502 and a page in HTML, as a proxy answers when there is nobody behind it. */
  proxyPage: (when: Strikes = {}): Failure => ({
    ...strikes(when),
    answer: async () =>
      new Response('<!doctype html><title>502 Bad Gateway</title>', {
        status: 502,
        headers: { 'content-type': 'text/html' },
      }),
  }),
  /** The connection breaks after the service has done its work: the answer is lost, its effect is not. */
  lostAnswer: (when: Strikes = {}): Failure => ({
    ...strikes(when),
    answer: async (request, next) => {
      await (await next(request)).arrayBuffer()
      throw new TypeError('the connection broke before the answer had arrived')
    },
  }),
  /** The answer begins, and its second half never comes. */
  slowBody: (when: Strikes = {}): Failure => ({
    ...strikes(when),
    answer: async (request, next) => stalled(await next(request), request.signal),
  }),
  /** The summary in the answer was altered on its way: a client that verifies must refuse it. */
  tamperedSummary: (when: Strikes = {}): Failure => ({
    ...strikes(when),
    answer: async (request, next) => altered(await next(request)),
  }),
} as const

function strikes({ operation, times }: Strikes): Strikes {
  return { ...(operation === undefined ? {} : { operation }), ...(times === undefined ? {} : { times }) }
}

function problem(status: number, code: string, detail: string, headers: Record<string, string> = {}): Response {
  const slug = code.slice('ERR_'.length).toLowerCase().replaceAll('_', '-')
  const requestId = 'fake-request'
  return new Response(JSON.stringify({ type: `/problems/${slug}`, title: detail, status, detail, code, requestId }), {
    status,
    headers: { ...headers, 'content-type': 'application/problem+json', 'x-request-id': requestId },
  })
}

async function stalled(answer: Response, signal: AbortSignal): Promise<Response> {
  const bytes = new Uint8Array(await answer.arrayBuffer())
  const body = new ReadableStream<Uint8Array>({
    start: (controller) => {
      controller.enqueue(bytes.slice(0, Math.ceil(bytes.length / 2)))
      signal.addEventListener('abort', () => controller.error(signal.reason), { once: true })
    },
  })
  return new Response(body, { status: answer.status, headers: answer.headers })
}

async function altered(answer: Response): Promise<Response> {
  const text = await answer.text()
  const body = text.replaceAll(/"summary":"([^"]+)"/g, (_, summary: string) => `"summary":"${tampered(summary)}"`)
  return new Response(body, { status: answer.status, headers: answer.headers })
}
