/** The answer to a batch: one line for each line sent, and a last one. */
import type { Problem } from '../contract/index.ts'
import type { Answer } from './answer.ts'
import { isPassing } from './backoff.ts'
import { refusalText } from './error-text.ts'
import { ApiError, UnexpectedAnswerError } from './errors.ts'
import type { Place } from './verified-summary.ts'

/** What the service says of one line. */
export type LineOutcome = {
  /** Whether the same line may succeed later. */
  readonly mayPass: boolean
  /** Wait the service asks for; null if it asks for none. [ms] */
  readonly retryAfter: number | null
} & (
  | { readonly ok: true; readonly assessment: unknown; readonly replayed: boolean; readonly place: Place }
  | { readonly ok: false; readonly error: ApiError }
)

type Line = Readonly<Record<string, unknown>>

/**
 * What became of each line, in the order in which they were sent.
 *
 * @param keys keys of the lines sent.
 * @throws UnexpectedAnswerError when a line of the answer is missing, is none, or stands in another's place.
 */
export function outcomesOf(answer: Answer, keys: readonly string[]): readonly LineOutcome[] {
  const lines = new TextDecoder()
    .decode(answer.bytes)
    .split('\n')
    .filter((text) => text !== '')
    .map((text) => lineOf(text, answer))
  const end = lines.at(-1)
  if (end?.end !== true || lines.length !== keys.length + 1) {
    throw unexpected(answer, `has ${lines.length} lines and no end where ${keys.length} lines and an end are due`)
  }
  return keys.map((key, index) => outcomeOf(lines[index] ?? {}, key, answer))
}

function lineOf(text: string, answer: Answer): Line {
  try {
    const value: unknown = JSON.parse(text)
    if (typeof value === 'object' && value !== null) return value as Line
  } catch {
    // Told below: whatever stands there, it is no line.
  }
  throw unexpected(answer, 'holds a line that is no JSON object')
}

function outcomeOf(line: Line, key: string, answer: Answer): LineOutcome {
  const { status, assessment, problem, retryAfter: seconds } = line
  const isOther = line.key !== key && line.key !== null
  if (typeof status !== 'number' || isOther) throw unexpected(answer, `answers another line in the place of "${key}"`)
  const retryAfter = typeof seconds === 'number' ? seconds * 1000 : null
  if (assessment !== undefined) {
    const place = { status, exchange: answer.exchange }
    return { ok: true, assessment, replayed: line.replayed === true, place, mayPass: false, retryAfter }
  }
  const error = refusalIn(problem, status, retryAfter, answer)
  return { ok: false, error, mayPass: isPassing(status, retryAfter), retryAfter }
}

function refusalIn(problem: unknown, status: number, retryAfter: number | null, { exchange, ...answer }: Answer) {
  const isProblem = typeof problem === 'object' && problem !== null && 'code' in problem
  if (!isProblem) throw unexpected({ exchange, ...answer }, 'refuses a line without saying why')
  const told = { title: '', detail: '', ...problem, status } as Problem
  return new ApiError(refusalText(told, retryAfter, exchange), told, retryAfter, exchange)
}

function unexpected({ status, exchange }: Answer, what: string): UnexpectedAnswerError {
  const message = `The answer to ${exchange.method} ${exchange.url} ${what}. Send the batch again: nothing is done twice.`
  return new UnexpectedAnswerError('ERR_UNEXPECTED_ANSWER', message, status, null, exchange)
}
