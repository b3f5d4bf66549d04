/** What every resource is made of: a request out, a typed value back. */
import { type Answer, jsonOf } from './answer.ts'
import { Call } from './call.ts'
import { jsonText } from './request-body.ts'
import type { CallOptions, Settings } from './settings.ts'
import { type OutgoingRequest, send } from './transport.ts'

/** Sends requests under the settings of one client. */
export interface Core {
  /** Settings of the client. */
  readonly settings: Settings
  /** Any request; the answer as it came. */
  readonly send: (request: OutgoingRequest, options?: CallOptions) => Promise<Answer>
  /** A GET whose JSON answer is a `T`. */
  readonly get: <T>(path: string, options?: CallOptions, query?: OutgoingRequest['query']) => Call<T>
  /** A POST of JSON; the answer as it came. */
  readonly post: (path: string, body: unknown, options?: PostOptions) => Promise<Answer>
}

/** Options of a POST. */
export interface PostOptions extends CallOptions {
  /** Query of the address. */
  readonly query?: OutgoingRequest['query']
}

/** The core of a client. */
export function createCore(settings: Settings): Core {
  const sendUnder = (request: OutgoingRequest, options: CallOptions = {}) => send(settings, request, options)
  return {
    settings,
    send: sendUnder,
    get: <T>(path: string, options?: CallOptions, query: OutgoingRequest['query'] = {}) =>
      new Call(sendUnder({ method: 'GET', path, query }, options), jsonAs<T>),
    post: (path, body, options = {}) => postJson(sendUnder, path, body, options),
  }
}

/**
 * The JSON of an answer as the type the contract gives it.
 *
 * Members the type does not know are left alone: an old client can read a newer service.
 */
export function jsonAs<T>(answer: Answer): T {
  return jsonOf(answer) as T
}

async function postJson(sendUnder: Core['send'], path: string, body: unknown, options: PostOptions): Promise<Answer> {
  const { query = {}, ...rest } = options
  const headers = { 'content-type': 'application/json' }
  return sendUnder({ method: 'POST', path, query, headers, body: jsonText(body) }, rest)
}

/** One segment of a path, with whatever is special in it escaped. */
export function segment(id: string): string {
  return encodeURIComponent(id)
}
