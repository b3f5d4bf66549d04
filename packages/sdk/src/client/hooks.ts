/** Calls into the caller's code as requests go out and answers come in. An error thrown by a hook ends the call. */

/** A request about to be sent. */
export interface RequestEvent {
  /** HTTP method. */
  readonly method: string
  /** Address with query. */
  readonly url: string
  /** Number of the attempt. [1], from 1 */
  readonly attempt: number
  /** Request headers in lower case; the API key is not among them. */
  readonly headers: Readonly<Record<string, string>>
}

/** The head of an answer; the body is yet to come. */
export interface ResponseEvent {
  /** HTTP method. */
  readonly method: string
  /** Address with query. */
  readonly url: string
  /** Number of the attempt. [1], from 1 */
  readonly attempt: number
  /** HTTP status. */
  readonly status: number
  /** Identity the service gave the request; null if none. */
  readonly requestId: string | null
  /** Answer headers. */
  readonly headers: Headers
}

/** A further attempt that will be made. */
export interface RetryEvent {
  /** HTTP method. */
  readonly method: string
  /** Address with query. */
  readonly url: string
  /** Number of the attempt that failed. [1], from 1 */
  readonly attempt: number
  /** Wait before the next attempt. [ms] */
  readonly wait: number
  /** Why the attempt failed. */
  readonly error: Error
}

/** Hooks of the client. */
export interface Hooks {
  /** Before each attempt. Headers it returns are added, for example for tracing. */
  readonly onRequest?: (event: RequestEvent) => Readonly<Record<string, string>> | undefined
  /** When the head of an answer is in. */
  readonly onResponse?: (event: ResponseEvent) => void
  /** Before the wait that precedes a further attempt. */
  readonly onRetry?: (event: RetryEvent) => void
}
