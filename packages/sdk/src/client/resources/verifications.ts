import type { Comparison, LogReceipt } from '../../contract/index.ts'
import type { VerificationReport } from '../../integrity/index.ts'
import { Call } from '../call.ts'
import { type Core, jsonAs } from '../core.ts'
import type { CallOptions } from '../settings.ts'

/** What is to be verified. */
export interface VerificationRequest {
  /** The signed summary: compact JWS. */
  readonly summary: string
  /** The comparison it is of, to have the result computed anew. */
  readonly comparison?: Comparison
  /** Its place in the log, to have the proof checked. */
  readonly log?: LogReceipt
}

/** `/v1/verifications`: the same procedure as offline, run by the service with its own keys. */
export class Verifications {
  readonly #core: Core

  constructor(core: Core) {
    this.#core = core
  }

  /**
   * The report on a signed summary. A refused summary is an answer, not an error: look at `verdict`.
   *
   * Whoever does not trust the service verifies offline instead, with `@fairpull/sdk/verify`.
   */
  create(request: VerificationRequest, options?: CallOptions): Call<VerificationReport> {
    return new Call(this.#core.post('/v1/verifications', request, options), jsonAs<VerificationReport>)
  }
}
