/** Carries one request to the service and its answer back, in as many attempts as are allowed. */
import { type Answer, readBody, refusalOf } from './answer.ts'
import { isPassing, retryAfterOf, waitBefore } from './backoff.ts'
import { abortText, networkText, timeoutText } from './error-text.ts'
import {
  AbortError,
  ApiError,
  ConfigurationError,
  type Exchange,
  NetworkError,
  TimeoutError,
  UnexpectedAnswerError,
} from './errors.ts'
import { openScope, pause, type Scope, untilAborted } from './scope.ts'
import { type CallOptions, type Limits, limitsOf, type Settings } from './settings.ts'

/** A request, before credentials. */
export interface OutgoingRequest {
  /** HTTP method. */
  readonly method: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE'
  /** Path below `baseUrl`, with the leading slash. */
  readonly path: string
  /** Query; undefined members are left out. */
  readonly query?: Readonly<Record<string, string | number | boolean | undefined>>
  /** Body; a stream is sent once and never again. */
  readonly body?: string | Uint8Array<ArrayBuffer> | Blob | ReadableStream<Uint8Array>
  /** Request headers in lower case. */
  readonly headers?: Readonly<Record<string, string>>
}

/** A call under way. `exchange` is where it stands now; errors are made from it. */
interface Call {
  readonly settings: Settings
  readonly limits: Limits
  readonly request: OutgoingRequest
  readonly url: string
  readonly headers: Readonly<Record<string, string>>
  readonly startedAt: number
  exchange: Exchange
}

/**
 * Sends a request and reads its answer.
 *
 * @throws ApiError, UnexpectedAnswerError, NetworkError, TimeoutError, AbortError, ConfigurationError; see there.
 */
export async function send(settings: Settings, request: OutgoingRequest, options: CallOptions): Promise<Answer> {
  const call = callOf(settings, request, options)
  const scope = openScope(
    options.signal,
    (reason) => new AbortError(abortText(reason, call.exchange), call.exchange, reason),
  )
  scope.failAfter(settings.runtime.clock, call.limits.deadline, () => timeoutError(call, 'deadline'))
  try {
    for (;;) {
      try {
        return await attempt(call, scope.signal)
      } catch (error) {
        await waitForNext(call, scope.signal, error)
        call.exchange = { ...call.exchange, attempts: call.exchange.attempts + 1, requestId: null }
      }
    }
  } finally {
    scope.close()
  }
}

function callOf(settings: Settings, request: OutgoingRequest, options: CallOptions): Call {
  const url = addressOf(settings.baseUrl, request)
  return {
    settings,
    request,
    url,
    limits: limitsOf(options, settings),
    headers: headersOf(settings, request, options),
    startedAt: settings.runtime.clock.now(),
    exchange: { method: request.method, url: url.split('?', 1)[0] ?? url, attempts: 1, requestId: null },
  }
}

function addressOf(baseUrl: string, request: OutgoingRequest): string {
  const query = new URLSearchParams()
  for (const [name, value] of Object.entries(request.query ?? {})) {
    if (value !== undefined) query.set(name, String(value))
  }
  return `${baseUrl}${request.path}${query.size === 0 ? '' : `?${query}`}`
}

/** Headers of every attempt. The key is made here, once, so that all attempts carry the same. */
function headersOf(settings: Settings, request: OutgoingRequest, options: CallOptions): Record<string, string> {
  const key = options.idempotencyKey ?? (request.method === 'GET' ? undefined : settings.runtime.newKey())
  const given = {
    accept: 'application/json, application/problem+json',
    ...request.headers,
    ...options.headers,
    ...(key === undefined ? {} : { 'idempotency-key': key }),
  }
  try {
    return Object.fromEntries(new Headers(given))
  } catch {
    throw new ConfigurationError('headers', 'a header name or value, or the idempotency key, is not allowed in HTTP.')
  }
}

/** One attempt, from the first byte sent to the last one received, under its own time limit. */
async function attempt(call: Call, parent: AbortSignal): Promise<Answer> {
  const { settings } = call
  const scope = openScope(parent)
  scope.failAfter(settings.runtime.clock, call.limits.timeout, () => timeoutError(call, 'timeout'))
  try {
    scope.signal.throwIfAborted()
    const response = await dispatch(call, scope)
    const { status, headers } = response
    call.exchange = { ...call.exchange, requestId: headers.get('x-request-id') }
    settings.hooks.onResponse?.({ ...placeOf(call), status, headers, requestId: call.exchange.requestId })
    const bytes = await readBody(response, scope.signal, settings.answerLimit, call.exchange)
    const answer: Answer = { status, headers, bytes, exchange: call.exchange }
    if (response.ok) return answer
    throw refusalOf(answer, retryAfterOf(headers, settings.runtime.clock.now()))
  } catch (error) {
    throw scope.signal.aborted ? scope.signal.reason : error
  } finally {
    scope.close()
  }
}

async function dispatch(call: Call, scope: Scope): Promise<Response> {
  const { settings, request, headers } = call
  const added = settings.hooks.onRequest?.({ ...placeOf(call), headers }) ?? {}
  const authorization = settings.apiKey === undefined ? {} : { authorization: `Bearer ${settings.apiKey}` }
  const init: RequestInit = {
    method: request.method,
    headers: { ...headers, ...added, ...authorization },
    redirect: 'manual',
    signal: scope.signal,
    ...(request.body === undefined ? {} : { body: request.body }),
    ...(request.body instanceof ReadableStream ? { duplex: 'half' } : {}),
  }
  try {
    return await untilAborted(scope.signal, settings.fetch(call.url, init), discard)
  } catch (error) {
    throw scope.signal.aborted ? scope.signal.reason : networkError(call.exchange, error)
  }
}

/** Lets go of an answer that came too late for anybody to read. */
function discard(late: Response): void {
  late.body?.cancel().catch(() => undefined)
}

/** Waits for the moment of the next attempt, or throws the error when there is none. */
async function waitForNext(call: Call, signal: AbortSignal, error: unknown): Promise<void> {
  if (!(error instanceof Error) || signal.aborted || !mayPass(call, error)) throw error
  const { settings, limits, exchange, startedAt } = call
  const retryAfter = retryAfterIn(error)
  if (exchange.attempts > limits.retries || (retryAfter ?? 0) > settings.retryAfterCap) throw error

  const wait = waitBefore(exchange.attempts, retryAfter, settings.runtime.random)
  if (settings.runtime.clock.now() + wait >= startedAt + limits.deadline) throw error
  settings.hooks.onRetry?.({ ...placeOf(call), wait, error })
  await pause(settings.runtime.clock, wait, signal)
}

function mayPass(call: Call, error: Error): boolean {
  if (call.request.body instanceof ReadableStream) return false
  if (error instanceof ApiError || error instanceof UnexpectedAnswerError)
    return isPassing(error.status, error.retryAfter)
  return error instanceof NetworkError || (error instanceof TimeoutError && error.code === 'ERR_ATTEMPT_TIMEOUT')
}

function retryAfterIn(error: Error): number | null {
  return error instanceof ApiError || error instanceof UnexpectedAnswerError ? error.retryAfter : null
}

function timeoutError(call: Call, option: 'timeout' | 'deadline'): TimeoutError {
  const code = option === 'timeout' ? 'ERR_ATTEMPT_TIMEOUT' : 'ERR_DEADLINE'
  return new TimeoutError(code, timeoutText(option, call.limits[option], call.exchange), call.exchange)
}

function networkError(exchange: Exchange, cause: unknown): NetworkError {
  return new NetworkError(networkText(cause, exchange), exchange, cause)
}

function placeOf(call: Call) {
  return { method: call.request.method, url: call.url, attempt: call.exchange.attempts }
}
