/** What the service says of itself while it runs: one JSON object per line. Never a body, a key or a header field. */

/** An answered request. */
export interface RequestEntry {
  readonly event: 'request'
  readonly requestId: string
  /** Name of the operation; null where the address belongs to none. */
  readonly operation: string | null
  readonly method: string
  readonly status: number
  /** Code of the refusal; null for a success. */
  readonly code: string | null
  /** From the head of the request to the answer. [ms] */
  readonly duration_ms: number
  /** Organisation that asked; null where no key was asked for or accepted. */
  readonly tenant: string | null
  /** Identity, not text, of the API key. */
  readonly apiKey: string | null
}

/** Something went wrong inside. */
export interface FailureEntry {
  readonly event: 'failure'
  /** The request concerned; null where there was none. */
  readonly requestId: string | null
  readonly operation: string | null
  readonly error: DescribedError
}

/** A turn in the life of the service. */
export interface LifecycleEntry {
  readonly event: 'listening' | 'draining' | 'stopped' | 'store'
  readonly detail: string
}

/** An error as it is logged. */
export interface DescribedError {
  readonly name: string
  readonly code: string | null
  readonly message: string
  readonly stack: string | null
  readonly cause: DescribedError | null
}

/** One line of the log. */
export type LogEntry = RequestEntry | FailureEntry | LifecycleEntry

/** Where log lines go. */
export interface Log {
  write(entry: LogEntry): void
}

/** A log of one JSON object per line, each with its time. */
export function createLineLog(now: () => Date, writeLine: (line: string) => void): Log {
  return { write: (entry) => writeLine(`${JSON.stringify({ time: now().toISOString(), ...entry })}\n`) }
}

/** Longest chain of causes that is logged. */
const MOST_CAUSES = 4

/** An error, or whatever else was thrown, for the log. */
export function describeError(thrown: unknown, depth = 0): DescribedError {
  if (!(thrown instanceof Error)) {
    return { name: typeof thrown, code: null, message: String(thrown), stack: null, cause: null }
  }
  return {
    name: thrown.name,
    code: 'code' in thrown && typeof thrown.code === 'string' ? thrown.code : null,
    message: thrown.message,
    stack: thrown.stack ?? null,
    cause: thrown.cause === undefined || depth >= MOST_CAUSES ? null : describeError(thrown.cause, depth + 1),
  }
}
