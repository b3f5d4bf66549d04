import type { Protocol } from '../../contract/index.ts'
import type { Call } from '../call.ts'
import { type Core, segment } from '../core.ts'
import type { CallOptions } from '../settings.ts'

/** A protocol in the list of them. */
export interface ProtocolEntry {
  /** Name and version, `motorcycle-rollers@1`. */
  readonly id: string
  /** What it is for. */
  readonly title: string
}

/** `/v1/protocols`: every check with its limits and their basis. */
export class Protocols {
  readonly #core: Core

  constructor(core: Core) {
    this.#core = core
  }

  /** The protocols the service judges by. */
  list(options?: CallOptions): Call<{ readonly items: readonly ProtocolEntry[] }> {
    return this.#core.get('/v1/protocols', options)
  }

  /** One protocol in full, for example `motorcycle-rollers@1`. */
  get(id: string, options?: CallOptions): Call<Protocol> {
    return this.#core.get(`/v1/protocols/${segment(id)}`, options)
  }
}
