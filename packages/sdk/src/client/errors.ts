/**
 * Everything the client throws. Each error has a stable `code`, a literal `name` and the brand `fairpull: true`, so that
 * it is recognised without `instanceof`, also when two copies of the package are loaded.
 *
 * Messages are written to be read by the person who has to act, and may change; codes may not.
 */
import type { FieldProblem, Problem } from '../contract/index.ts'

/** What was asked, how often, and how the service names it. */
export interface Exchange {
  /** HTTP method. */
  readonly method: string
  /** Address without credentials and query. */
  readonly url: string
  /** Attempts made, the failed one included. [1], from 1 */
  readonly attempts: number
  /** Identity the service gave the request; null if no answer carried one. */
  readonly requestId: string | null
}

/** What all errors of the client have in common. */
export abstract class FairpullError extends Error {
  /** Brand: this is an error of this package, whichever copy of it. */
  readonly fairpull = true as const
  /** Stable reason. */
  abstract readonly code: string
  /** The request concerned; null if none was sent. */
  readonly exchange: Exchange | null

  constructor(message: string, exchange: Exchange | null, cause?: unknown) {
    super(message, cause === undefined ? undefined : { cause })
    this.exchange = exchange
  }

  /** Identity the service gave the request; null if no answer carried one. */
  get requestId(): string | null {
    return this.exchange?.requestId ?? null
  }
}

/** Options that make no sense, found before anything was sent. */
export class ConfigurationError extends FairpullError {
  override readonly name = 'ConfigurationError' as const
  readonly code = 'ERR_CONFIGURATION' as const
  /** Name of the option. */
  readonly option: string

  constructor(option: string, message: string) {
    super(`${option}: ${message}`, null)
    this.option = option
  }
}

/** A body that JSON cannot carry, such as one with NaN in it; found before anything was sent. */
export class BodyError extends FairpullError {
  override readonly name = 'BodyError' as const
  readonly code = 'ERR_NOT_JSON_VALUE' as const
  /** JSON Pointer to the member. */
  readonly pointer: string

  constructor(pointer: string, message: string) {
    super(message, null)
    this.pointer = pointer
  }
}

/** The service refused, and said why in problem+json. */
export class ApiError extends FairpullError {
  override readonly name = 'ApiError' as const
  /** Stable reason given by the service. */
  readonly code: string
  /** HTTP status. */
  readonly status: number
  /** The answer as received. */
  readonly problem: Problem
  /** Every refused member; empty where the refusal is not about the body. */
  readonly errors: readonly FieldProblem[]
  /** Wait the service asks for; null if it asks for none. [ms] */
  readonly retryAfter: number | null

  constructor(message: string, problem: Problem, retryAfter: number | null, exchange: Exchange) {
    super(message, exchange)
    this.code = problem.code
    this.status = problem.status
    this.problem = problem
    this.errors = problem.errors ?? []
    this.retryAfter = retryAfter
  }
}

/** Something answered, but not as this service does: a proxy's error page, a redirect, text that is not JSON. */
export class UnexpectedAnswerError extends FairpullError {
  override readonly name = 'UnexpectedAnswerError' as const
  readonly code: 'ERR_UNEXPECTED_ANSWER' | 'ERR_ANSWER_TOO_LARGE'
  /** HTTP status. */
  readonly status: number
  /** Wait the answer asks for; null if it asks for none. [ms] */
  readonly retryAfter: number | null

  constructor(
    code: UnexpectedAnswerError['code'],
    message: string,
    status: number,
    retryAfter: number | null,
    exchange: Exchange,
  ) {
    super(message, exchange)
    this.code = code
    this.status = status
    this.retryAfter = retryAfter
  }
}

/** No answer: the name was not found, the connection was refused or broke. The cause is kept. */
export class NetworkError extends FairpullError {
  override readonly name = 'NetworkError' as const
  readonly code = 'ERR_NETWORK' as const
}

/** The time allowed ran out, for one attempt (`timeout`) or for all of them (`deadline`); the body counts. */
export class TimeoutError extends FairpullError {
  override readonly name = 'TimeoutError' as const
  readonly code: 'ERR_ATTEMPT_TIMEOUT' | 'ERR_DEADLINE'

  constructor(code: TimeoutError['code'], message: string, exchange: Exchange) {
    super(message, exchange)
    this.code = code
  }
}

/** The caller's signal aborted; its reason is the cause. */
export class AbortError extends FairpullError {
  override readonly name = 'AbortError' as const
  readonly code = 'ERR_ABORTED' as const
}

/** A list that goes on beyond its cap, or in a circle. Nothing is left out silently. */
export class PagingError extends FairpullError {
  override readonly name = 'PagingError' as const
  readonly code: 'ERR_PAGING_CAP' | 'ERR_CURSOR_REPEATED'

  constructor(code: PagingError['code'], message: string) {
    super(message, null)
    this.code = code
  }
}

/** Every error of the client, told apart by `name` or `code`. */
export type ClientError =
  | ConfigurationError
  | BodyError
  | ApiError
  | UnexpectedAnswerError
  | NetworkError
  | TimeoutError
  | AbortError
  | PagingError

/**
 * True for every error of this package, also from another copy of it.
 *
 * A `VerificationError` stands outside the family of the client, since the exchange with the service went well; it is
 * known by its name.
 */
export function isFairpullError(error: unknown): error is { readonly code: string } & Error {
  if (typeof error !== 'object' || error === null || !('code' in error) || typeof error.code !== 'string') return false
  const isBranded = 'fairpull' in error && error.fairpull === true
  return isBranded || ('name' in error && error.name === 'VerificationError')
}

/** True when the service refused with problem+json, also for an error of another copy of the package. */
export function isApiError(error: unknown): error is ApiError {
  return isFairpullError(error) && error.name === 'ApiError'
}
