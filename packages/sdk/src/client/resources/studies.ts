import type { RegisteredStudy, Study, StudyCharts } from '../../contract/index.ts'
import { Call } from '../call.ts'
import { type Core, jsonAs, segment } from '../core.ts'
import { entriesOf, type Page, type PageLimits } from '../pages.ts'
import type { CallOptions } from '../settings.ts'

/** One line of the list of studies. */
export interface StudyEntry {
  /** Identity of the study. */
  readonly id: string
  /** Time of registration, RFC 3339. */
  readonly registeredAt: string
  /** The facility, in its own words. */
  readonly facility: string
  /** Whether it gives a facility record. */
  readonly hasRecord: boolean
  /** What it shows, in one sentence. */
  readonly verdict: string
}

/** Options of `studies.list`. */
export interface StudyListOptions extends CallOptions, PageLimits {
  /** Entries asked for per page. [1], 1 to 100 */
  readonly limit?: number
}

const PATH = '/v1/studies'

/** `/v1/studies`: how well a facility repeats. */
export class Studies {
  readonly #core: Core

  constructor(core: Core) {
    this.#core = core
  }

  /**
   * Has a study assessed and stored. `result.record` is what a comparison takes as `facility.record`; where it is null,
   * `result.missing` says what to add.
   *
   * Safe to retry: without `idempotencyKey` a fresh one is made per call and kept across its retries.
   *
   * @throws ApiError the service refused; `error.errors` names every member concerned.
   */
  create(study: Study, options?: CallOptions): Call<RegisteredStudy> {
    return new Call(this.#core.post(PATH, study, options), jsonAs<RegisteredStudy>)
  }

  /** One of your studies, as it was answered when it was registered. */
  get(id: string, options?: CallOptions): Call<RegisteredStudy> {
    return this.#core.get<RegisteredStudy>(`${PATH}/${segment(id)}`, options)
  }

  /**
   * Your studies, newest first, fetched page by page as the loop goes on.
   *
   * @throws PagingError beyond `maxItems` or `maxPages`: a list is never cut silently.
   */
  list(options: StudyListOptions = {}): AsyncGenerator<StudyEntry, void, undefined> {
    const { limit, maxItems, maxPages, ...rest } = options
    const limits = { ...(maxItems === undefined ? {} : { maxItems }), ...(maxPages === undefined ? {} : { maxPages }) }
    const fetchPage = (cursor: string | undefined) => this.#core.get<Page<StudyEntry>>(PATH, rest, { limit, cursor })
    return entriesOf(fetchPage, limits)
  }

  /** Control charts over the latest studies of a facility: whether it repeats as well as it did. */
  charts(facility: string, options?: CallOptions): Call<StudyCharts> {
    return this.#core.get<StudyCharts>('/v1/study-charts', options, { facility })
  }
}
