import type {
  Claim,
  Comparison,
  Mounting,
  PlanCounters,
  PlanRecord,
  PlanRequest,
  PlanStatus,
  Run,
  RunLogged,
} from '../../contract/index.ts'
import { Call } from '../call.ts'
import { type Core, jsonAs, segment } from '../core.ts'
import { entriesOf, type Page, type PageLimits } from '../pages.ts'
import type { CallOptions } from '../settings.ts'
import type { Assessment, SummaryVerifier } from '../verified-summary.ts'

/** A run to be logged under a plan. */
export interface PlanRunRequest {
  /** Challenge of the plan, as it was answered when it was registered. */
  readonly challenge: string
  /** The run, of any purpose. */
  readonly run: Run
  /** The mounting it was made in; described once, with any of its runs. */
  readonly mounting?: Mounting
}

/** A new version of a plan. */
export interface PlanAmendmentRequest {
  /** Why, in a sentence. */
  readonly reason: string
  /** All terms of the new version. */
  readonly plan: PlanRequest
}

/** One line of the list of plans. */
export interface PlanEntry {
  /** Identity of the plan. */
  readonly id: string
  /** Time of registration, RFC 3339. */
  readonly createdAt: string
  /** Where it stands. */
  readonly status: PlanStatus
  /** The product, in the form in which names are compared. */
  readonly product: string
  /** Identity of its summary; null while there is none. */
  readonly assessment: string | null
}

/** Options of `plans.list`. */
export interface PlanListOptions extends CallOptions, PageLimits {
  /** Entries asked for per page. [1], 1 to 100 */
  readonly limit?: number
}

/** Options of `plans.assess`. */
export interface AssessPlanOptions extends CallOptions {
  /** Withdrawn summary of the same runs that the new one replaces. */
  readonly supersedes?: string
}

const PATH = '/v1/plans'

/**
 * `/v1/plans`: comparisons registered before their first run.
 *
 * Register with `create`, log every run with `addRun` as it is made, then `assess`. Every call is safe to repeat: a run
 * that was logged gets the same receipt, a plan that was assessed the same summary.
 */
export class Plans {
  readonly #core: Core
  readonly #verifier: SummaryVerifier

  constructor(core: Core, verifier: SummaryVerifier) {
    this.#core = core
    this.#verifier = verifier
  }

  /**
   * Registers a plan. The answer holds the challenge that every run carries; it is given once the plan is in the log.
   *
   * @throws ApiError the service refused; `error.errors` names every member concerned.
   */
  create(plan: PlanRequest, options?: CallOptions): Call<PlanRecord> {
    return this.#record('', plan, options)
  }

  /** One of your plans, with its challenge and the receipt of every logged run. */
  get(id: string, options?: CallOptions): Call<PlanRecord> {
    return this.#core.get<PlanRecord>(`${PATH}/${segment(id)}`, options)
  }

  /**
   * Your plans, newest first, fetched page by page as the loop goes on.
   *
   * @throws PagingError beyond `maxItems` or `maxPages`: a list is never cut silently.
   */
  list(options: PlanListOptions = {}): AsyncGenerator<PlanEntry, void, undefined> {
    const { limit, maxItems, maxPages, ...rest } = options
    const limits = { ...(maxItems === undefined ? {} : { maxItems }), ...(maxPages === undefined ? {} : { maxPages }) }
    const fetchPage = (cursor: string | undefined) => this.#core.get<Page<PlanEntry>>(PATH, rest, { limit, cursor })
    return entriesOf(fetchPage, limits)
  }

  /** Logs a run and answers its receipt; `excludedBy` names the rule under which it is to be made again. */
  addRun(id: string, request: PlanRunRequest, options?: CallOptions): Call<RunLogged> {
    return new Call(this.#core.post(`${PATH}/${segment(id)}/runs`, request, options), jsonAs<RunLogged>)
  }

  /** Logs a new version. After the first run the registration is `amended` for good. */
  amend(id: string, request: PlanAmendmentRequest, options?: CallOptions): Call<PlanRecord> {
    return this.#record(`/${segment(id)}/amendments`, request, options)
  }

  /** Ends the runs of a plan before all of them are made. */
  close(id: string, options?: CallOptions): Call<PlanRecord> {
    return this.#end(id, 'closure', options)
  }

  /** Gives up a plan that has runs; it stays in the public counters. */
  abandon(id: string, options?: CallOptions): Call<PlanRecord> {
    return this.#end(id, 'abandonment', options)
  }

  /** Takes back a plan that has no run. */
  withdraw(id: string, options?: CallOptions): Call<PlanRecord> {
    return this.#end(id, 'withdrawal', options)
  }

  /**
   * Has all runs of a closed plan assessed and returns the summary, verified before you see it.
   *
   * @param claims claims beside the registered ones; they are judged as exploratory.
   * @throws VerificationError the summary did not verify. Its payload is not exposed.
   */
  assess(id: string, claims: readonly Claim[] = [], options: AssessPlanOptions = {}): Call<Assessment> {
    const { supersedes, ...rest } = options
    const answer = this.#core.post(`${PATH}/${segment(id)}/assessment`, { claims }, { ...rest, query: { supersedes } })
    return new Call(answer, (arrived) => this.#verifier.assessmentIn(arrived, undefined))
  }

  /** The comparison that was judged: from it the result can be computed again, offline. */
  comparison(id: string, options?: CallOptions): Call<Comparison> {
    return this.#core.get<Comparison>(`${PATH}/${segment(id)}/comparison`, options)
  }

  /** How many plans an organisation registered for a product, and what became of them. No key is asked for. */
  counters(asked: { readonly publisher: string; readonly product: string }, options?: CallOptions): Call<PlanCounters> {
    return this.#core.get<PlanCounters>('/v1/plan-counters', options, asked)
  }

  #record(path: string, body: unknown, options?: CallOptions): Call<PlanRecord> {
    return new Call(this.#core.post(`${PATH}${path}`, body, options), jsonAs<PlanRecord>)
  }

  #end(id: string, how: string, options?: CallOptions): Call<PlanRecord> {
    const answer = this.#core.send({ method: 'POST', path: `${PATH}/${segment(id)}/${how}` }, options)
    return new Call(answer, jsonAs<PlanRecord>)
  }
}
