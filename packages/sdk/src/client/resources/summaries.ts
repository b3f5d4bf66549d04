import type { Comparison, LogReceipt } from '../../contract/index.ts'
import { type Answer, jsonOf } from '../answer.ts'
import { Call } from '../call.ts'
import { type Core, jsonAs, segment } from '../core.ts'
import type { CallOptions } from '../settings.ts'
import type { Assessment, SummaryVerifier } from '../verified-summary.ts'

/** The notice that took a summary back, as the service shows it. */
export interface WithdrawalNotice {
  /** Identity of the summary. */
  readonly id: string
  /** When, RFC 3339. */
  readonly withdrawnAt: string
  /** Why, in the words of whoever submitted it. */
  readonly reason: string
  /** The signed withdrawal: compact JWS. Verified before you see it; the members beside it are for reading. */
  readonly notice: string
  /** Its place in the log. */
  readonly log: LogReceipt
}

/** How a summary stands. */
export interface SummaryStatus {
  /** Identity of the summary. */
  readonly id: string
  /** Who may read it. */
  readonly status: 'private' | 'published' | 'withdrawn'
  /** Since when anybody may read it, RFC 3339; null while nobody may. */
  readonly publishedAt: string | null
  /** Whether its runs were published as well. */
  readonly withRuns: boolean
  /** The notice; null while the summary stands. */
  readonly withdrawal: WithdrawalNotice | null
}

/** A published summary, verified, and how it stands. */
export interface PublishedSummary extends Assessment {
  /** How it stood when it was read. */
  readonly status: SummaryStatus
}

/** Options of `summaries.publish`. */
export interface PublishOptions extends CallOptions {
  /** Whether the runs are made public as well, so that anybody can compute the result again. Default: false. */
  readonly runs?: boolean
}

const PATH = '/v1/summaries'

/** `/v1/summaries`: what was made public, for anybody to read; and taking it back. */
export class Summaries {
  readonly #core: Core
  readonly #verifier: SummaryVerifier

  constructor(core: Core, verifier: SummaryVerifier) {
    this.#core = core
    this.#verifier = verifier
  }

  /** Makes one of your summaries public, for good. Sent again it changes nothing, but may add the runs. */
  publish(id: string, { runs = false, ...options }: PublishOptions = {}): Call<SummaryStatus> {
    const answer = this.#core.post(`/v1/assessments/${segment(id)}/publication`, { runs }, options)
    return new Call(answer, jsonAs<SummaryStatus>)
  }

  /**
   * Takes one of your summaries back, published or not, for good. Sent again it answers the first withdrawal.
   *
   * @param reason for everybody to read. 1 to 2000 characters on one line.
   */
  withdraw(id: string, reason: string, options?: CallOptions): Call<WithdrawalNotice> {
    const answer = this.#core.post(`${PATH}/${segment(id)}/withdrawal`, { reason }, options)
    return new Call(answer, async (arrived) => this.#verified(arrived, id, jsonAs<WithdrawalNotice>(arrived)))
  }

  /**
   * A published summary, verified like one of your own, and how it stands. No key is asked for.
   *
   * @throws ApiError `ERR_WITHDRAWN` once it was taken back; `status` shows the notice.
   * @throws VerificationError the summary did not verify. Its payload is not exposed.
   */
  get(id: string, options: CallOptions = {}): Call<PublishedSummary> {
    const answer = this.#core.send({ method: 'GET', path: `${PATH}/${segment(id)}` }, options)
    return new Call(answer, async (arrived) => {
      const summary = await this.#verifier.assessmentIn(arrived, undefined)
      return { ...summary, status: await this.status(id, options) }
    })
  }

  /**
   * How a published summary stands; after a withdrawal with its notice, whose signature is checked. No key is asked for.
   *
   * @throws UnexpectedAnswerError the notice is not of this summary, or not by a key you trust.
   */
  status(id: string, options: CallOptions = {}): Call<SummaryStatus> {
    const answer = this.#core.send({ method: 'GET', path: `${PATH}/${segment(id)}/status` }, options)
    return new Call(answer, async (arrived) => {
      const status = jsonOf(arrived) as SummaryStatus
      const { withdrawal } = status
      return withdrawal === null ? status : { ...status, withdrawal: await this.#verified(arrived, id, withdrawal) }
    })
  }

  /** The comparison behind a published summary, where its owner chose to show it. No key is asked for. */
  runs(id: string, options?: CallOptions): Call<Comparison> {
    return this.#core.get<Comparison>(`${PATH}/${segment(id)}/runs`, options)
  }

  async #verified(answer: Answer, id: string, notice: WithdrawalNotice): Promise<WithdrawalNotice> {
    const { at, reason } = await this.#verifier.withdrawalIn(notice.notice, id, answer)
    return { ...notice, id, withdrawnAt: at, reason }
  }
}
