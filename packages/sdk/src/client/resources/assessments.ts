import type { Comparison, DryRun } from '../../contract/index.ts'
import type { Answer } from '../answer.ts'
import { Call } from '../call.ts'
import { type Core, jsonAs, type PostOptions, segment } from '../core.ts'
import { entriesOf, type Page, type PageLimits } from '../pages.ts'
import { bytesOf, jsonText, valueOfJson } from '../request-body.ts'
import type { CallOptions } from '../settings.ts'
import type { Assessment, SummaryVerifier } from '../verified-summary.ts'

/** Options of `assessments.create`. */
export interface CreateOptions extends CallOptions {
  /** Assess only: nothing is signed, nothing stored. */
  readonly dryRun?: boolean
  /** Withdrawn summary of the same runs that the new one replaces. */
  readonly supersedes?: string
}

/** One line of the list of assessments. */
export interface AssessmentEntry {
  /** Identity of the summary. */
  readonly id: string
  /** Time of signing, RFC 3339. */
  readonly createdAt: string
  /** Who may read it. */
  readonly status: 'private' | 'published' | 'withdrawn'
}

/** Options of `assessments.list`. */
export interface ListOptions extends CallOptions, PageLimits {
  /** Entries asked for per page. [1], 1 to 100 */
  readonly limit?: number
}

/** A comparison as JSON text that is still to be read: bytes, a `Blob` or `File`, or a stream of bytes. */
export type ComparisonSource = Uint8Array<ArrayBuffer> | Blob | ReadableStream<Uint8Array>

const PATH = '/v1/assessments'

/** `/v1/assessments`: comparisons in, signed summaries out. */
export class Assessments {
  readonly #core: Core
  readonly #verifier: SummaryVerifier

  constructor(core: Core, verifier: SummaryVerifier) {
    this.#core = core
    this.#verifier = verifier
  }

  /**
   * Sends a comparison and returns its summary, verified before you see it: signed by a key you trust, and of the very
   * comparison that was sent. Without `trust` the report says `intact-key-unknown`.
   *
   * Safe to retry: without `idempotencyKey` a fresh one is made per call and kept across its retries.
   * A comparison that does not hold is an answer, not an error: look at `result.standing`.
   *
   * @throws ApiError the service refused; `error.code` is stable, `error.errors` names every member concerned.
   * @throws VerificationError the summary did not verify. Its payload is not exposed.
   */
  create(comparison: Comparison | ComparisonSource, options: CreateOptions & { readonly dryRun: true }): Call<DryRun>
  create(
    comparison: Comparison | ComparisonSource,
    options?: CreateOptions & { readonly dryRun?: false },
  ): Call<Assessment>
  create(comparison: Comparison | ComparisonSource, options: CreateOptions = {}): Call<DryRun> | Call<Assessment> {
    const { dryRun = false, supersedes, ...rest } = options
    const outgoing = outgoingOf(comparison, rest.signal)
    if (dryRun) return new Call(this.#send(outgoing, { ...rest, query: { dryRun } }), jsonAs<DryRun>)
    return new Call(this.#send(outgoing, { ...rest, query: { supersedes } }), async (answer) =>
      this.#verifier.assessmentIn(answer, (await outgoing).comparison),
    )
  }

  /** Trust that cannot be read is found before anything is sent. */
  async #send(outgoing: Promise<Outgoing>, { query = {}, ...options }: PostOptions): Promise<Answer> {
    const headers = { 'content-type': 'application/json' }
    const { body } = await outgoing
    await this.#verifier.ready()
    return this.#core.send({ method: 'POST', path: PATH, query, headers, body }, options)
  }

  /** One of your assessments, verified like a new one. */
  get(id: string, options: CallOptions = {}): Call<Assessment> {
    const answer = this.#core.send({ method: 'GET', path: `${PATH}/${segment(id)}` }, options)
    return new Call(answer, (arrived) => this.#verifier.assessmentIn(arrived, undefined))
  }

  /**
   * Your assessments, newest first, fetched page by page as the loop goes on.
   *
   * @throws PagingError beyond `maxItems` or `maxPages`: a list is never cut silently.
   */
  list(options: ListOptions = {}): AsyncGenerator<AssessmentEntry, void, undefined> {
    const { limit, maxItems, maxPages, ...rest } = options
    const limits = { ...(maxItems === undefined ? {} : { maxItems }), ...(maxPages === undefined ? {} : { maxPages }) }
    const fetchPage = (cursor: string | undefined) =>
      this.#core.get<Page<AssessmentEntry>>(PATH, rest, { limit, cursor })
    return entriesOf(fetchPage, limits)
  }
}

interface Outgoing {
  /** What the summary must be of. */
  readonly comparison: Comparison
  readonly body: string | Uint8Array<ArrayBuffer>
}

/**
 * What is sent, whatever the caller does to the comparison meanwhile. A value JSON cannot carry is a rejection.
 *
 * A source is read to its end before anything is sent, so that the request can be repeated; its bytes go out as they are.
 */
async function outgoingOf(given: Comparison | ComparisonSource, signal: AbortSignal | undefined): Promise<Outgoing> {
  if (!isSource(given)) {
    const body = jsonText(given)
    return { comparison: JSON.parse(body), body }
  }
  const body = await bytesOf(given, signal)
  return { comparison: valueOfJson(body) as Comparison, body }
}

function isSource(given: Comparison | ComparisonSource): given is ComparisonSource {
  return given instanceof Uint8Array || given instanceof Blob || given instanceof ReadableStream
}
