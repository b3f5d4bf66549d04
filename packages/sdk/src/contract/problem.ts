/** Problem details for HTTP APIs, RFC 9457. */

/** One refused input. */
export interface FieldProblem {
  /** JSON Pointer (RFC 6901) to the member. */
  readonly pointer: string
  /** Stable code. */
  readonly code: string
  /** What is wrong and how to put it right. */
  readonly detail: string
}

/** An error answer of the service. */
export interface Problem {
  /** URL of the problem type. */
  readonly type: string
  /** Short title of the type. */
  readonly title: string
  /** HTTP status. */
  readonly status: number
  /** What happened this time and what to do. */
  readonly detail: string
  /** Stable code, `ERR_` and upper snake. */
  readonly code: string
  /** Identity of the request. */
  readonly requestId: string
  /** All refused members, where the body was refused. */
  readonly errors?: readonly FieldProblem[]
}
