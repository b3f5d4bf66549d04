/** Answers: read within a limit, and told apart from what is none of ours. */
import type { Problem } from '../contract/index.ts'
import { networkText, refusalText, unexpectedText } from './error-text.ts'
import { ApiError, type Exchange, NetworkError, UnexpectedAnswerError } from './errors.ts'
import { untilAborted } from './scope.ts'

/** An answer whose body is in. */
export interface Answer {
  /** HTTP status. */
  readonly status: number
  /** Answer headers. */
  readonly headers: Headers
  /** The body. */
  readonly bytes: Uint8Array<ArrayBuffer>
  /** The request it answers. */
  readonly exchange: Exchange
}

/** Characters shown of a body that is none of ours. */
const EXCERPT_LENGTH = 120

/**
 * Reads a body, at most `limit` bytes of it.
 *
 * @throws the reason of `signal` as soon as it aborts; UnexpectedAnswerError `ERR_ANSWER_TOO_LARGE` beyond the limit;
 * NetworkError when the connection breaks.
 */
export async function readBody(response: Response, signal: AbortSignal, limit: number, exchange: Exchange) {
  const reader = response.body?.getReader()
  const chunks: Uint8Array[] = []
  let length = 0
  try {
    while (reader !== undefined) {
      const { done, value } = await untilAborted(signal, reader.read())
      if (done) break
      length += value.byteLength
      if (length > limit) throw tooLarge(response.status, limit, exchange)
      chunks.push(value)
    }
  } catch (error) {
    void reader?.cancel().catch(() => undefined)
    if (signal.aborted || error instanceof UnexpectedAnswerError) throw error
    throw new NetworkError(networkText(error, exchange), exchange, error)
  }
  return joined(chunks, length)
}

/** The value of a JSON answer; its unknown members are left as they are. */
export function jsonOf(answer: Answer): unknown {
  const parsed = isJson(answer) ? parsedJson(answer) : undefined
  if (parsed !== undefined) return parsed.value
  const what = isJson(answer) ? 'the body is not JSON' : `it is ${mediaType(answer) || 'of no type'}, not JSON`
  throw unexpected(answer, what, null)
}

/** The error of an answer that is not a success. */
export function refusalOf(answer: Answer, retryAfter: number | null): ApiError | UnexpectedAnswerError {
  const problem = problemOf(answer)
  if (problem !== undefined) {
    const exchange = { ...answer.exchange, requestId: answer.exchange.requestId ?? problem.requestId }
    return new ApiError(refusalText(problem, retryAfter, exchange), problem, retryAfter, exchange)
  }
  const location = answer.headers.get('location')
  if (location !== null) return unexpected(answer, `it points to ${location}; redirects are not followed`, retryAfter)
  return unexpected(answer, `it is ${mediaType(answer) || 'of no type'}, not problem+json`, retryAfter)
}

function unexpected(answer: Answer, what: string, retryAfter: number | null): UnexpectedAnswerError {
  const message = unexpectedText(answer.status, what, excerptOf(answer), answer.exchange)
  return new UnexpectedAnswerError('ERR_UNEXPECTED_ANSWER', message, answer.status, retryAfter, answer.exchange)
}

function tooLarge(status: number, limit: number, exchange: Exchange): UnexpectedAnswerError {
  const message =
    `${exchange.method} ${exchange.url} answers with more than ${limit} bytes.\n` +
    'Give more room with the option answerLimit (in bytes), or ask for less.'
  return new UnexpectedAnswerError('ERR_ANSWER_TOO_LARGE', message, status, null, exchange)
}

/** A problem as received; members an old or foreign service leaves out are filled from what is known. */
function problemOf(answer: Answer): Problem | undefined {
  const value = isJson(answer) ? parsedJson(answer)?.value : undefined
  if (typeof value !== 'object' || value === null || !('code' in value) || typeof value.code !== 'string')
    return undefined
  const problem: Partial<Problem> & { readonly code: string } = { ...value, code: value.code }
  return {
    ...problem,
    type: problem.type ?? 'about:blank',
    title: problem.title ?? problem.code,
    status: answer.status,
    detail: problem.detail ?? '',
    requestId: problem.requestId ?? answer.exchange.requestId ?? '',
  }
}

function parsedJson(answer: Answer): { readonly value: unknown } | undefined {
  try {
    return { value: JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(answer.bytes)) }
  } catch {
    return undefined
  }
}

function isJson(answer: Answer): boolean {
  return /^application\/(?:[\w.-]+\+)?json$/.test(mediaType(answer))
}

function mediaType(answer: Answer): string {
  return (answer.headers.get('content-type') ?? '').split(';', 1)[0]?.trim().toLowerCase() ?? ''
}

/** The beginning of a body in one line, of an HTML page its title. */
function excerptOf(answer: Answer): string {
  const text = new TextDecoder().decode(answer.bytes.subarray(0, 4_096))
  const title = /<title[^>]*>([^<]*)/i.exec(text)?.[1]
  const line = (title ?? text).replace(/[\p{Cc}\s]+/gu, ' ').trim()
  return line.length > EXCERPT_LENGTH ? `${line.slice(0, EXCERPT_LENGTH)}…` : line
}

function joined(chunks: readonly Uint8Array[], length: number): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(length)
  let at = 0
  for (const chunk of chunks) {
    bytes.set(chunk, at)
    at += chunk.byteLength
  }
  return bytes
}
