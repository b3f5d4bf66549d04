import type { SampleSizeReport, SampleSizeRequest } from '../../contract/index.ts'
import { Call } from '../call.ts'
import { type Core, jsonAs } from '../core.ts'
import type { CallOptions } from '../settings.ts'

/** `/v1/sample-sizes`: how many runs and mountings, asked before the first one. */
export class SampleSizes {
  readonly #core: Core

  constructor(core: Core) {
    this.#core = core
  }

  /**
   * The designs that reach a target, in the order in which they are advised. That none does is an answer, not an error.
   *
   * `adviseSampleSize` of `@fairpull/sdk/engine` gives the same answer without a service.
   */
  create(request: SampleSizeRequest, options?: CallOptions): Call<SampleSizeReport> {
    return new Call(this.#core.post('/v1/sample-sizes', request, options), jsonAs<SampleSizeReport>)
  }
}
