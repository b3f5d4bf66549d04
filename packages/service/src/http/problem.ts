/**
 * Error answers, RFC 9457. This file alone knows which HTTP status belongs to an error; all others name codes.
 *
 * A code never changes its meaning. `type` is a reference to `/problems/{slug}` on the same host, where the type is
 * described.
 */
import type { FieldProblem, Problem } from '@fairpull/sdk/contract'
import { type Answer, jsonBytes } from './answer.ts'

/** One type of error answer. */
export interface ProblemType {
  /** HTTP status. */
  readonly status: number
  /** Short title, the same every time. */
  readonly title: string
  /** What it means and what to do, for the page of the type. */
  readonly about: string
}

/** Every error answer of the service, by its code. */
export const problemTypes = {
  ERR_REQUEST_MALFORMED: {
    status: 400,
    title: 'The request is not HTTP as it should be',
    about:
      'The request line, a header field or the body could not be read. Nothing was done. Send a well-formed request.',
  },
  ERR_PARAMETER: {
    status: 400,
    title: 'A parameter cannot be read',
    about: 'A query parameter or a header field is unknown, occurs twice or has no acceptable value. Nothing was done.',
  },
  ERR_JSON: {
    status: 400,
    title: 'The body is not JSON with one meaning',
    about:
      'The body breaks RFC 8259 or RFC 7493: equal names in one object, a number that float64 cannot hold, half a ' +
      'surrogate pair, too deep nesting and the like. `errors` says what and where. Nothing was done.',
  },
  ERR_UNAUTHENTICATED: {
    status: 401,
    title: 'No valid API key',
    about: 'Send `Authorization: Bearer` and an API key. A missing, mistyped, unknown and revoked key answer alike.',
  },
  ERR_SCOPE: {
    status: 403,
    title: 'The API key does not permit this',
    about: 'The key is valid, but lacks the scope that the operation asks for. Use another key.',
  },
  ERR_NOT_FOUND: {
    status: 404,
    title: 'There is nothing here',
    about: 'No such address, or no such object among those that the API key may see.',
  },
  ERR_METHOD: {
    status: 405,
    title: 'The address does not know this method',
    about: 'The header field Allow lists the methods of this address.',
  },
  ERR_REQUEST_TIMEOUT: {
    status: 408,
    title: 'The request arrived too slowly',
    about: 'The request was not complete in time, and the connection was closed. Nothing was done. Send it again.',
  },
  ERR_PLAN_STATE: {
    status: 409,
    title: 'The plan is not at this point',
    about:
      'A plan takes runs until it is closed, is closed or given up after its first run, withdrawn before it, and assessed ' +
      'once it is closed. Nothing was done. Read the plan to see where it stands.',
  },
  ERR_PLAN_OVERTAKEN: {
    status: 409,
    title: 'Another amendment came first',
    about: 'The plan has a newer version than the one that was amended. Read it, and amend what it says now.',
  },
  ERR_RUN_LOGGED: {
    status: 409,
    title: 'Something else was logged before',
    about:
      'Another run was logged under this id, or the mounting was described otherwise. What is logged stays. Nothing was done.',
  },
  ERR_SUPERSEDES: {
    status: 409,
    title: 'These runs belong to a withdrawn summary',
    about:
      'Runs of a withdrawn summary are signed again only in a summary that says so: name the withdrawn one in the query ' +
      'parameter `supersedes`. It must be one of your own, withdrawn before. Nothing was done.',
  },
  ERR_WITHDRAWN: {
    status: 410,
    title: 'The summary was withdrawn',
    about:
      'Whoever submitted it has taken it back; `detail` says when and why. The signed notice stands at the address of the ' +
      'summary with `/status`. Do not rely on copies of it.',
  },
  ERR_BODY_TOO_LARGE: {
    status: 413,
    title: 'The body is too large',
    about:
      'The body is larger than the operator of the service allows. Nothing was done. Channels as base64 of float64 ' +
      'take less room than numbers in JSON; a sample rate above 100 Hz says no more about a sweep.',
  },
  ERR_MEDIA_TYPE: {
    status: 415,
    title: 'The body is of another type than asked for',
    about: 'Send JSON in UTF-8, uncompressed, with `Content-Type: application/json`. Nothing was done.',
  },
  ERR_BODY_INVALID: {
    status: 422,
    title: 'The body does not say what it must',
    about: '`errors` lists every member that was refused, with what to do about it. Nothing was done.',
  },
  ERR_PLAN_CHALLENGE: {
    status: 422,
    title: 'The challenge is not that of the plan',
    about:
      'Every run carries the challenge that its plan was answered with. Nothing was logged. Read the plan to get it.',
  },
  ERR_IDEMPOTENCY_KEY_REUSED: {
    status: 422,
    title: 'The Idempotency-Key belongs to another request',
    about:
      'The key was used before with another body, address or query. Nothing was done. Repeat the first request ' +
      'unchanged, or make a fresh key for a new one.',
  },
  ERR_RATE_LIMITED: {
    status: 429,
    title: 'Too many requests with this API key',
    about:
      'The key has made as many requests this minute as the operator permits. Nothing was done. Send the same request ' +
      'again after the time that Retry-After gives; RateLimit and RateLimit-Policy say how many are left.',
  },
  ERR_HEADERS_TOO_LARGE: {
    status: 431,
    title: 'The header fields are too large',
    about: 'Nothing was done, and the connection was closed. Send fewer or shorter header fields.',
  },
  ERR_INTERNAL: {
    status: 500,
    title: 'The service failed',
    about: 'A defect of the service. Its log knows more under the request id. Nothing was stored by halves.',
  },
  ERR_BUSY: {
    status: 503,
    title: 'The service has too much to do',
    about: 'Nothing was done. Send the same request again after the time that Retry-After gives.',
  },
  ERR_DRAINING: {
    status: 503,
    title: 'The service is shutting down',
    about: 'Nothing was done. Send the same request again after the time that Retry-After gives.',
  },
  ERR_LOG_STOPPED: {
    status: 503,
    title: 'The log has stopped',
    about:
      'The log of the service was found altered or older than what was signed, and takes nothing until its operator has ' +
      'checked it. Whatever was stored is logged then. Send the same request, with its Idempotency-Key, again later.',
  },
  ERR_STORE_UNAVAILABLE: {
    status: 503,
    title: 'The database does not answer',
    about:
      'Send the same request again, with the same Idempotency-Key, after the time that Retry-After gives: should the ' +
      'first have been stored after all, you get its answer.',
  },
  ERR_STORE_FULL: {
    status: 503,
    title: 'The database has no room left',
    about: 'Nothing was stored. The operator has to make room; what is stored can still be read.',
  },
} as const satisfies Readonly<Record<`ERR_${string}`, ProblemType>>

/** Code of an error answer. */
export type ProblemCode = keyof typeof problemTypes

/** All codes, in the order of their status. */
export const problemCodes = Object.keys(problemTypes) as readonly ProblemCode[]

/** Why a request is not carried out, before it is written as an answer. */
export interface Refusal {
  /** Which type of error. */
  readonly refused: ProblemCode
  /** What happened this time and what to do. */
  readonly detail: string
  /** The refused members, where the body is refused. */
  readonly errors?: readonly FieldProblem[]
  /** Header fields that belong to the refusal. */
  readonly headers?: Readonly<Record<string, string>>
}

/** A refusal of this type. */
export function refuse(refused: ProblemCode, detail: string, more: Pick<Refusal, 'errors' | 'headers'> = {}): Refusal {
  return { refused, detail, ...more }
}

/** What is answered where there is nothing, or nothing that this caller may see. */
export function nothingHere(): Refusal {
  return refuse('ERR_NOT_FOUND', 'There is nothing at this address.')
}

/** True for a refusal, false for whatever else a step may yield. */
export function isRefusal(outcome: unknown): outcome is Refusal {
  return typeof outcome === 'object' && outcome !== null && 'refused' in outcome
}

/** Last segment of the address of a problem type: `ERR_BODY_TOO_LARGE` is at `/problems/body-too-large`. */
export function problemSlug(code: ProblemCode): string {
  return code.slice('ERR_'.length).toLowerCase().replaceAll('_', '-')
}

/** A refusal as an answer. */
export function problemAnswer(refusal: Refusal, requestId: string): Answer {
  const { status, title } = problemTypes[refusal.refused]
  const problem: Problem = {
    type: `/problems/${problemSlug(refusal.refused)}`,
    title,
    status,
    detail: refusal.detail,
    code: refusal.refused,
    requestId,
    ...(refusal.errors === undefined ? {} : { errors: refusal.errors }),
  }
  return {
    status,
    headers: { ...refusal.headers, 'content-type': 'application/problem+json', 'cache-control': 'no-store' },
    body: jsonBytes(problem),
  }
}
