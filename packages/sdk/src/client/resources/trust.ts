import type { PublicJwk, ReadTrustList, SeenTrustList } from '../../integrity/index.ts'
import { jsonOf } from '../answer.ts'
import { Call } from '../call.ts'
import type { Core } from '../core.ts'
import { ConfigurationError } from '../errors.ts'
import type { CallOptions } from '../settings.ts'
import { otherAnswer } from '../verified-summary.ts'

/** What the reader knows beforehand. */
export interface TrustListOptions extends CallOptions {
  /** The root key of the issuer, had by another way than this service. */
  readonly root: PublicJwk
  /** The newest list seen before, as `seen` gave it. Absent: none was. */
  readonly seen?: SeenTrustList
  /** The time, RFC 3339 in UTC. Default: that of this machine. */
  readonly now?: string
}

/** `/trust.json`: what the root key says of the keys of the service. */
export class TrustLists {
  readonly #core: Core

  constructor(core: Core) {
    this.#core = core
  }

  /**
   * The signed trust list, read under the root key you know. Keep `seen` and hand it over the next time: a list that is older,
   * or another one of the same version, is refused then. `trust` is what a client and `verifySummary` take.
   *
   * @throws ConfigurationError `root` is no key.
   * @throws UnexpectedAnswerError the list is refused; the message ends in the code, such as `ERR_TRUST_LIST_OLDER`.
   */
  get({ root, seen, now, ...options }: TrustListOptions): Call<ReadTrustList> {
    const answer = this.#core.send({ method: 'GET', path: '/trust.json' }, options)
    return new Call(answer, async (arrived) => {
      // Loaded with the first list: most clients never read one.
      const [{ importPublicKey }, { readTrustList }] = await Promise.all([
        import('../../integrity/ed25519-key.ts'),
        import('../../integrity/trust-list.ts'),
      ])
      const key = await importPublicKey(root)
      if (!key.ok) throw new ConfigurationError('root', `${key.problem.detail}.`)
      const { list } = jsonOf(arrived) as { readonly list?: unknown }
      const known = { root: key.value, now: now ?? new Date().toISOString(), ...(seen === undefined ? {} : { seen }) }
      const read = await readTrustList(list, known)
      if (read.ok) return read.value
      throw otherAnswer(arrived, `holds no trust list to go by: ${read.problem.detail} (${read.problem.code})`)
    })
  }
}
