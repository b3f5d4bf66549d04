/** Many comparisons: sent a few per request, answered in order, in memory that does not grow with their number. */
import type { Comparison } from '../contract/index.ts'
import { sha256Text } from '../integrity/index.ts'
import { waitBefore } from './backoff.ts'
import { type LineOutcome, outcomesOf } from './batch-answer.ts'
import type { CallFailure } from './call.ts'
import { compactChannels } from './compact-channels.ts'
import type { Core } from './core.ts'
import { abortText } from './error-text.ts'
import { AbortError, BodyError, ConfigurationError } from './errors.ts'
import { inOrder } from './in-order.ts'
import { jsonText } from './request-body.ts'
import { openScope, pause } from './scope.ts'
import { type CallOptions, limitsOf } from './settings.ts'
import type { Assessment, SummaryVerifier } from './verified-summary.ts'

/** A comparison with a key of its own. */
export interface BatchItem {
  /** The comparison. */
  readonly comparison: Comparison
  /**
   * Makes it safe to repeat: 1 to 255 visible ASCII characters, the same for the same comparison. Default: a digest of the
   * comparison, so that a run over the same comparisons goes on where an earlier one ended.
   */
  readonly key?: string
}

/** Where comparisons come from. */
export type ManySource = Iterable<Comparison | BatchItem> | AsyncIterable<Comparison | BatchItem>

/** What became of one comparison. */
export type ManyOutcome = {
  /** Its place in the source. [1], from 0 */
  readonly index: number
  /** Its key. */
  readonly key: string
} & (
  | {
      readonly ok: true
      /** The summary, verified as by `assessments.create`. */
      readonly value: Assessment
      /** Whether it was assessed in an earlier run. */
      readonly replayed: boolean
    }
  | {
      readonly ok: false
      /** Why there is none. */
      readonly error: CallFailure
    }
)

/** How far it has come. */
export interface ManyProgress {
  /** Comparisons with an outcome. [1], from 1 */
  readonly done: number
  /** Of these, assessed now or earlier. */
  readonly assessed: number
  /** Of these, assessed in an earlier run. */
  readonly replayed: number
  /** Of these, refused. */
  readonly refused: number
}

/** Options of `assessMany`. Those of a call hold for each request; `retries` also for a line the service has no time for. */
export interface ManyOptions extends Omit<CallOptions, 'idempotencyKey'> {
  /** Comparisons per request, at most. [1], whole, from 1; default 16 */
  readonly perRequest?: number
  /** Text per request after which no further comparison is added. [characters], above 0; default 1,000,000 */
  readonly textPerRequest?: number
  /** Requests under way at once. [1], whole, from 1; default 2 */
  readonly requests?: number
  /** Told after each outcome, in order. */
  readonly onProgress?: (progress: ManyProgress) => void
}

/** A comparison ready to be sent, or why it cannot be. */
interface Entry {
  readonly index: number
  readonly key: string
  readonly sent: Comparison
  readonly line: string
  readonly error?: BodyError
}

interface Batch {
  readonly core: Core
  readonly verifier: SummaryVerifier
  readonly options: CallOptions
}

const PER_REQUEST = 16
const TEXT_PER_REQUEST = 1_000_000
const REQUESTS = 2

/** As `Fairpull.assessMany`. */
export async function* assessMany(
  core: Core,
  verifier: SummaryVerifier,
  source: ManySource,
  given: ManyOptions,
): AsyncGenerator<ManyOutcome, void, undefined> {
  const { perRequest = PER_REQUEST, textPerRequest = TEXT_PER_REQUEST, requests = REQUESTS, ...rest } = given
  const { onProgress, ...options } = rest
  refuseBelowOne({ perRequest, textPerRequest, requests })
  await verifier.ready()
  const groups = groupsOf(source, perRequest, textPerRequest)
  const progress = { done: 0, assessed: 0, replayed: 0, refused: 0 }
  for await (const outcomes of inOrder(groups, requests, (group) => sendGroup({ core, verifier, options }, group))) {
    for (const outcome of outcomes) {
      progress.done += 1
      if (outcome.ok) progress.assessed += 1
      else progress.refused += 1
      if (outcome.ok && outcome.replayed) progress.replayed += 1
      onProgress?.({ ...progress })
      yield outcome
    }
  }
}

function refuseBelowOne(counts: Readonly<Record<string, number>>): void {
  for (const [option, value] of Object.entries(counts)) {
    if (!(Number.isInteger(value) && value >= 1)) {
      throw new ConfigurationError(option, `${value} is not a whole number from 1.`)
    }
  }
}

/** The comparisons in groups that one request carries. A group is made when it is asked for. */
async function* groupsOf(source: ManySource, most: number, mostText: number): AsyncGenerator<readonly Entry[]> {
  let group: Entry[] = []
  let text = 0
  let index = 0
  for await (const given of source) {
    const entry = await entryOf(given, index++)
    group.push(entry)
    text += entry.line.length
    if (group.length < most && text < mostText) continue
    yield group
    group = []
    text = 0
  }
  if (group.length > 0) yield group
}

async function entryOf(given: Comparison | BatchItem, index: number): Promise<Entry> {
  const { comparison, key } = 'comparison' in given ? given : { comparison: given, key: undefined }
  try {
    if (key !== undefined && !/^[\x21-\x7e]{1,255}$/.test(key)) {
      throw new BodyError('/key', `The key ${JSON.stringify(key)} is not 1 to 255 visible ASCII characters.`)
    }
    const text = jsonText(compactChannels(comparison))
    const named = key ?? (await sha256Text(new TextEncoder().encode(text)))
    return {
      index,
      key: named,
      sent: JSON.parse(text),
      line: `{"key":${JSON.stringify(named)},"comparison":${text}}\n`,
    }
  } catch (error) {
    if (error instanceof BodyError) return { index, key: key ?? '', sent: comparison, line: '', error }
    throw error
  }
}

/** The outcomes of a group. Lines that the service has no time for are sent again, alone, after a while. */
async function sendGroup(batch: Batch, group: readonly Entry[]): Promise<readonly ManyOutcome[]> {
  const { settings } = batch.core
  const { retries } = limitsOf(batch.options, settings)
  const outcomes = new Map<number, ManyOutcome>()
  for (const { error, index, key } of group)
    if (error !== undefined) outcomes.set(index, { index, key, ok: false, error })
  let left = group.filter(({ error }) => error === undefined)
  for (let attempt = 1; left.length > 0; attempt += 1) {
    const again: Entry[] = []
    let wait = 0
    for (const { entry, outcome } of await sendLines(batch, left)) {
      const retryAfter = outcome.retryAfter ?? 0
      const mayPass = outcome.mayPass && attempt <= retries && retryAfter <= settings.retryAfterCap
      if (mayPass) again.push(entry)
      else outcomes.set(entry.index, await finalOutcome(batch, entry, outcome))
      if (mayPass) wait = Math.max(wait, retryAfter)
    }
    left = again
    if (left.length > 0) await waitForNext(batch, waitBefore(attempt, wait, settings.runtime.random))
  }
  return group.flatMap(({ index }) => outcomes.get(index) ?? [])
}

async function sendLines({ core, options }: Batch, entries: readonly Entry[]) {
  const headers = { 'content-type': 'application/x-ndjson', accept: 'application/x-ndjson, application/problem+json' }
  const body = entries.map(({ line }) => line).join('')
  const answer = await core.send({ method: 'POST', path: '/v1/batches', headers, body }, options)
  const keys = entries.map(({ key }) => key)
  return outcomesOf(answer, keys).flatMap((outcome, place) => {
    const entry = entries[place]
    return entry === undefined ? [] : [{ entry, outcome }]
  })
}

async function finalOutcome(batch: Batch, { index, key, sent }: Entry, outcome: LineOutcome): Promise<ManyOutcome> {
  if (!outcome.ok) return { index, key, ok: false, error: outcome.error }
  try {
    const value = await batch.verifier.assessmentOf(outcome.assessment, outcome.place, sent)
    return { index, key, ok: true, value, replayed: outcome.replayed }
  } catch (error) {
    if (isVerificationFailure(error)) return { index, key, ok: false, error }
    throw error
  }
}

function isVerificationFailure(error: unknown): error is CallFailure {
  const name = error instanceof Error ? error.name : ''
  return name === 'VerificationError' || name === 'UnexpectedAnswerError'
}

async function waitForNext({ core, options }: Batch, wait: number): Promise<void> {
  const exchange = { method: 'POST', url: `${core.settings.baseUrl}/v1/batches`, attempts: 1, requestId: null }
  const scope = openScope(options.signal, (reason) => new AbortError(abortText(reason, exchange), exchange, reason))
  try {
    await pause(core.settings.runtime.clock, wait, scope.signal)
  } finally {
    scope.close()
  }
}
