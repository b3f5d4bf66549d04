import type { RunCheckReport, RunCheckRequest } from '../../contract/index.ts'
import { Call } from '../call.ts'
import { type Core, jsonAs } from '../core.ts'
import type { CallOptions } from '../settings.ts'

/** `/v1/run-checks`: one run by itself, between two pulls or on upload. */
export class RunChecks {
  readonly #core: Core

  constructor(core: Core) {
    this.#core = core
  }

  /**
   * What one run shows by itself; nothing is signed, nothing stored. A run that does not hold is an answer, not an error: look
   * at `isUsable` and `findings`.
   *
   * @throws ApiError the request cannot be read; `error.errors` names every member concerned.
   */
  create(request: RunCheckRequest, options?: CallOptions): Call<RunCheckReport> {
    return new Call(this.#core.post('/v1/run-checks', request, options), jsonAs<RunCheckReport>)
  }
}
