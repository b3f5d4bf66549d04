/** The client: one object per service and key, its members mirror the tree of addresses. */

import type { Answer } from './answer.ts'
import type { ManyOptions, ManyOutcome, ManySource } from './assess-many.ts'
import { Call, responseOf } from './call.ts'
import { type Core, createCore } from './core.ts'
import { Assessments } from './resources/assessments.ts'
import { Keys } from './resources/keys.ts'
import { Log } from './resources/log.ts'
import { Plans } from './resources/plans.ts'
import { Protocols } from './resources/protocols.ts'
import { RunChecks } from './resources/run-checks.ts'
import { SampleSizes } from './resources/sample-sizes.ts'
import { Studies } from './resources/studies.ts'
import { Summaries } from './resources/summaries.ts'
import { TrustLists } from './resources/trust.ts'
import { Verifications } from './resources/verifications.ts'
import { type CallOptions, type FairpullOptions, settingsOf } from './settings.ts'
import type { OutgoingRequest } from './transport.ts'
import { createVerifier, type SummaryVerifier } from './verified-summary.ts'

/**
 * A client of one Fairpull service.
 *
 * @example
 * const fairpull = new Fairpull({ baseUrl: 'http://127.0.0.1:8080', apiKey, trust })
 * const { result } = await fairpull.assessments.create(comparison)
 * console.log(result.standing, result.verdict)
 */
export class Fairpull {
  /** Comparisons in, signed summaries out. */
  readonly assessments: Assessments
  /** One run by itself. */
  readonly runChecks: RunChecks
  /** Comparisons registered before their first run. */
  readonly plans: Plans
  /** How well your facilities repeat. */
  readonly studies: Studies
  /** Publication, and what was published. */
  readonly summaries: Summaries
  /** What is checked, with limits and basis. */
  readonly protocols: Protocols
  /** How many runs and mountings a comparison needs. */
  readonly sampleSizes: SampleSizes
  /** Verification by the service. */
  readonly verifications: Verifications
  /** Keys the service signs with. */
  readonly keys: Keys
  /** What the root key says of them. */
  readonly trustLists: TrustLists
  /** The log of the service. */
  readonly log: Log
  readonly #core: Core
  readonly #verifier: SummaryVerifier

  /** @throws ConfigurationError for options that cannot be meant, such as a timeout of 0. */
  constructor(options: FairpullOptions) {
    this.#core = createCore(settingsOf(options))
    this.keys = new Keys(this.#core)
    this.#verifier = createVerifier(this.#core.settings.trust, () => this.keys.jwks())
    this.assessments = new Assessments(this.#core, this.#verifier)
    this.runChecks = new RunChecks(this.#core)
    this.plans = new Plans(this.#core, this.#verifier)
    this.studies = new Studies(this.#core)
    this.summaries = new Summaries(this.#core, this.#verifier)
    this.protocols = new Protocols(this.#core)
    this.sampleSizes = new SampleSizes(this.#core)
    this.verifications = new Verifications(this.#core)
    this.trustLists = new TrustLists(this.#core)
    this.log = new Log(this.#core, this.#verifier)
  }

  /**
   * Assesses many comparisons, a few per request, and gives their outcomes in the order of the comparisons.
   *
   * Whatever is refused is an outcome; the others go on. Comparisons are taken from `source` as outcomes are taken from
   * here, so that neither side has to fit into memory. When it ends early, by an abort or a service that stays away, run
   * it again over the same source: what was answered is answered again without a further effect, for 24 hours.
   *
   * @example
   * for await (const outcome of fairpull.assessMany(comparisons)) {
   *   if (outcome.ok) console.log(outcome.index, outcome.value.result.verdict)
   *   else console.error(outcome.index, outcome.error.message)
   * }
   * @throws AbortError, NetworkError, TimeoutError, ApiError or UnexpectedAnswerError for a whole request that failed.
   */
  async *assessMany(source: ManySource, options: ManyOptions = {}): AsyncGenerator<ManyOutcome, void, undefined> {
    // Loaded when it is needed: a page that assesses one comparison does without.
    const { assessMany } = await import('./assess-many.ts')
    yield* assessMany(this.#core, this.#verifier, source, options)
  }

  /**
   * Any request, under the same key, limits, retries and hooks; for operations this version does not know.
   *
   * @returns the response, its body already received. Refusals are thrown as everywhere.
   */
  request(request: OutgoingRequest, options: CallOptions = {}): Call<Response> {
    return new Call(this.#core.send(request, options), (answer: Answer) => responseOf(answer))
  }
}
