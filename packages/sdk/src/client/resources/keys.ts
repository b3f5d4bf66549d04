import type { PublicJwk } from '../../integrity/index.ts'
import type { Call } from '../call.ts'
import type { Core } from '../core.ts'
import type { CallOptions } from '../settings.ts'

/** A JSON Web Key Set, RFC 7517 §5. */
export interface KeySet {
  /** Public keys. */
  readonly keys: readonly PublicJwk[]
}

/** `/.well-known/jwks.json`: the keys the service signs with. */
export class Keys {
  readonly #core: Core

  constructor(core: Core) {
    this.#core = core
  }

  /** The public keys. They show that a summary is intact, not whose it is: that takes a trust bundle. */
  jwks(options?: CallOptions): Call<KeySet> {
    return this.#core.get('/.well-known/jwks.json', options)
  }
}
