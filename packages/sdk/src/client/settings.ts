/** Options of the client, checked once; from here on everything has a value. */

import type { Trust, TrustBundle } from '../integrity/index.ts'
import { ConfigurationError } from './errors.ts'
import type { Hooks } from './hooks.ts'
import { type Runtime, systemRuntime } from './runtime.ts'

/** Options of `new Fairpull()`. All times in milliseconds; `Infinity` switches a time limit off, 0 never does. */
export interface FairpullOptions {
  /** Address of the service, for example `https://fairpull.example`. A path in it is kept. */
  readonly baseUrl: string | URL
  /** API key, sent as a bearer token. Not needed for public reading. */
  readonly apiKey?: string
  /** Keys a signed summary is checked against. Without it reports say `key-unknown`. */
  readonly trust?: TrustBundle | Trust
  /** Time for one attempt, its body included. [ms], above 0; default 30,000 */
  readonly timeout?: number
  /** Time for a call with all attempts and waits. [ms], above 0; default 120,000 */
  readonly deadline?: number
  /** Further attempts after the first. [1], whole, 0 to 20; default 3 */
  readonly retries?: number
  /** Longest wait a `Retry-After` is followed for; a longer one ends the call at once. [ms], at least 0; default 60,000 */
  readonly retryAfterCap?: number
  /** Largest answer that is read. [byte], above 0; default 64 MiB */
  readonly answerLimit?: number
  /** `fetch` to use. Default: the global one. */
  readonly fetch?: typeof fetch
  /** Called as requests go out and answers come in. */
  readonly hooks?: Hooks
  /** Clock, randomness and keys. Default: the platform's. */
  readonly runtime?: Partial<Runtime>
}

/** Options of one call; they go before those of the client. */
export interface CallOptions {
  /** Ends the call at once, wherever it is. */
  readonly signal?: AbortSignal
  /** Identity of a POST: the service performs it once however often it arrives. Default: a fresh one per call. */
  readonly idempotencyKey?: string
  /** Time for one attempt, its body included. [ms], above 0 */
  readonly timeout?: number
  /** Time for the call with all attempts and waits. [ms], above 0 */
  readonly deadline?: number
  /** Further attempts after the first. [1], whole, 0 to 20 */
  readonly retries?: number
  /** Further request headers. */
  readonly headers?: Readonly<Record<string, string>>
}

/** The limits that hold for one call. */
export interface Limits {
  readonly timeout: number
  readonly deadline: number
  readonly retries: number
}

/** Options with every default filled in. */
export interface Settings extends Limits {
  readonly baseUrl: string
  readonly apiKey: string | undefined
  readonly trust: TrustBundle | Trust | undefined
  readonly retryAfterCap: number
  readonly answerLimit: number
  readonly fetch: typeof fetch
  readonly hooks: Hooks
  readonly runtime: Runtime
}

const DEFAULTS = {
  timeout: 30_000,
  deadline: 120_000,
  retries: 3,
  retryAfterCap: 60_000,
  answerLimit: 64 * 1024 * 1024,
} as const

/**
 * The settings that options amount to.
 *
 * @throws ConfigurationError for an option that cannot be meant, such as a timeout of 0.
 */
export function settingsOf(options: FairpullOptions): Settings {
  return {
    ...limitsOf(options, DEFAULTS),
    baseUrl: baseUrlOf(options.baseUrl),
    apiKey: apiKeyOf(options.apiKey),
    trust: options.trust,
    retryAfterCap: atLeastZero('retryAfterCap', options.retryAfterCap ?? DEFAULTS.retryAfterCap),
    answerLimit: aboveZero('answerLimit', options.answerLimit ?? DEFAULTS.answerLimit),
    fetch: options.fetch ?? ((input, init) => globalThis.fetch(input, init)),
    hooks: options.hooks ?? {},
    runtime: { ...systemRuntime, ...options.runtime },
  }
}

/** The limits of one call: its own options, then those of the client. */
export function limitsOf(options: Partial<Limits>, fallback: Limits): Limits {
  return {
    timeout: aboveZero('timeout', options.timeout ?? fallback.timeout),
    deadline: aboveZero('deadline', options.deadline ?? fallback.deadline),
    retries: retriesOf(options.retries ?? fallback.retries),
  }
}

function retriesOf(value: number): number {
  if (Number.isInteger(value) && value >= 0 && value <= 20) return value
  throw new ConfigurationError('retries', `${value} is not a whole number from 0 to 20; 0 sends every request once.`)
}

function aboveZero(option: string, value: number): number {
  if (value > 0) return value
  throw new ConfigurationError(
    option,
    `${value} is not above 0; leave it out for the default, or give Infinity for no limit.`,
  )
}

function atLeastZero(option: string, value: number): number {
  if (value >= 0) return value
  throw new ConfigurationError(option, `${value} is not 0 or more; 0 never waits for a Retry-After.`)
}

function baseUrlOf(given: string | URL): string {
  const text = String(given)
  const url = URL.canParse(text) ? new URL(text) : undefined
  if (url === undefined || (url.protocol !== 'http:' && url.protocol !== 'https:')) {
    throw new ConfigurationError('baseUrl', `"${text}" is not a web address; write it like "http://127.0.0.1:8080".`)
  }
  if (url.username !== '' || url.password !== '') {
    throw new ConfigurationError('baseUrl', 'the address carries a user name or password; give the key as apiKey.')
  }
  return `${url.origin}${url.pathname.replace(/\/+$/, '')}`
}

function apiKeyOf(key: string | undefined): string | undefined {
  if (key === undefined || /^[\x21-\x7e]+$/.test(key)) return key
  throw new ConfigurationError('apiKey', 'the key is empty, or has blanks, line ends or letters outside ASCII in it.')
}
