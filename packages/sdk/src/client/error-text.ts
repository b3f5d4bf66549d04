/** Wording of the client's errors: what happened, where, what to do. */
import type { Problem } from '../contract/index.ts'
import type { Exchange } from './errors.ts'

/** What to do about a refusal, by HTTP status. */
const adviceByStatus: Readonly<Record<number, string>> = {
  401: 'Give a valid API key: new Fairpull({ baseUrl, apiKey }).',
  403: 'Use an API key with the scope this operation needs.',
  404: 'Check the id and the baseUrl; what belongs to another organisation looks missing, too.',
  405: 'Check the method and the path.',
  409: 'Wait for the first request to finish, or use a fresh idempotency key.',
  413: 'Send fewer runs at once, or channels as base64; the operator can raise the limit.',
  415: 'Send JSON with content-type application/json.',
  422: 'Correct what is named above and send it again.',
  429: 'Send less often, or later.',
}

const ADVICE_4XX = 'Correct the request and send it again.'
const ADVICE_5XX = 'Try again later; quote the request id to the operator if it stays.'

/** Members shown of a long list of refused ones. */
const SHOWN_PROBLEMS = 10

/** What to do about an answer of this status. */
export function adviceFor(status: number): string {
  return adviceByStatus[status] ?? (status >= 500 ? ADVICE_5XX : ADVICE_4XX)
}

/** The message of a refusal. */
export function refusalText(problem: Problem, retryAfter: number | null, exchange: Exchange): string {
  const members = problem.errors ?? []
  return lines([
    `${exchange.method} ${exchange.url} was refused (${problem.status} ${problem.code}): ${sentence(problem.detail || problem.title)}`,
    ...members
      .slice(0, SHOWN_PROBLEMS)
      .map((each) => `  ${each.pointer === '' ? 'whole body' : each.pointer}: ${each.detail}`),
    members.length > SHOWN_PROBLEMS ? `  and ${members.length - SHOWN_PROBLEMS} more, see error.errors` : '',
    retryAfter === null ? '' : `The service asks to wait ${durationText(retryAfter)}.`,
    adviceFor(problem.status),
    footer(exchange),
  ])
}

/** The message of an answer this service would not give. */
export function unexpectedText(status: number, what: string, excerpt: string, exchange: Exchange): string {
  return lines([
    `${exchange.method} ${exchange.url} got an answer (${status}) that is not Fairpull's: ${what}.`,
    excerpt === '' ? '' : `  It begins: ${excerpt}`,
    'Check baseUrl, and what stands between here and the service: a proxy, a login page, a load balancer.',
    footer(exchange),
  ])
}

/** The message of a missing answer. */
export function networkText(cause: unknown, exchange: Exchange): string {
  return lines([
    `${exchange.method} ${exchange.url} got no answer: ${sentence(causeText(cause))}`,
    'Check that the service runs and that baseUrl is right: GET /livez answers when it does.',
    footer(exchange),
  ])
}

/** The message of a time limit. */
export function timeoutText(option: 'timeout' | 'deadline', limit: number, exchange: Exchange): string {
  const of = option === 'timeout' ? 'one attempt' : 'the whole call'
  return lines([
    `${exchange.method} ${exchange.url} took longer than ${durationText(limit)}, the ${option} for ${of}.`,
    `Give more time with the option ${option} (in ms). A POST that may have arrived is safe to repeat with its idempotency key.`,
    footer(exchange),
  ])
}

/** The message of an abort. */
export function abortText(reason: unknown, exchange: Exchange): string {
  const why = reason instanceof Error && reason.name !== 'AbortError' ? `: ${sentence(reason.message)}` : '.'
  return lines([
    `${exchange.method} ${exchange.url} was aborted by the caller's signal${why}`,
    'A POST may have arrived; repeat it with the same idempotency key to find out.',
    footer(exchange),
  ])
}

/** A length of time in the largest unit that suits. [ms] */
export function durationText(wait: number): string {
  const steps = [
    ['day', 86_400_000],
    ['hour', 3_600_000],
    ['minute', 60_000],
    ['second', 1_000],
  ] as const
  const step = steps.find(([, length]) => wait >= length)
  if (step === undefined) return `${Math.round(wait)} ms`
  const count = Math.round((wait / step[1]) * 10) / 10
  return `${count} ${step[0]}${count === 1 ? '' : 's'}`
}

/** The deepest cause that says something, with its system code. */
function causeText(cause: unknown): string {
  if (!(cause instanceof Error)) return String(cause)
  const code = 'code' in cause && typeof cause.code === 'string' ? ` (${cause.code})` : ''
  return cause.cause instanceof Error ? causeText(cause.cause) : `${cause.message || cause.name}${code}`
}

function footer(exchange: Exchange): string {
  const id = exchange.requestId === null ? '' : `Request id: ${exchange.requestId}. `
  return `${id}${exchange.attempts > 1 ? `Attempts: ${exchange.attempts}.` : ''}`.trim()
}

function sentence(text: string): string {
  return /[.!?]$/.test(text.trim()) ? text.trim() : `${text.trim()}.`
}

function lines(parts: readonly string[]): string {
  return parts.filter((part) => part !== '').join('\n')
}
