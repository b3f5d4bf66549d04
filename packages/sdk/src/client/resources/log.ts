import type { LogView } from '../../integrity/index.ts'
import { Call } from '../call.ts'
import type { Core } from '../core.ts'
import { isApiError } from '../errors.ts'
import type { CallOptions } from '../settings.ts'
import { otherAnswer, type SummaryVerifier } from '../verified-summary.ts'

/** `/log`: the log of the service, as anybody can read it. */
export class Log {
  readonly #core: Core
  readonly #verifier: SummaryVerifier

  constructor(core: Core, verifier: SummaryVerifier) {
    this.#core = core
    this.#verifier = verifier
  }

  /**
   * The log at its present checkpoint: give it to `verifySummary` as `view`, or ask it for leaves. Its tiles are fetched when
   * they are needed. `checkpoint` is what to keep, to hold the next one against with `rootOf`.
   *
   * @throws UnexpectedAnswerError the checkpoint is none, or a log that you trust did not sign it.
   */
  view(options: CallOptions = {}): Call<LogView> {
    const answer = this.#core.send({ method: 'GET', path: '/log/checkpoint' }, options)
    return new Call(answer, async (arrived) => {
      // Loaded with the first log: most clients never read one.
      const { openLogView } = await import('../../integrity/log-view.ts')
      const files = { checkpoint: arrived.bytes, read: (path: string) => this.#bytesAt(path, options) }
      const view = await openLogView(files, (await this.#verifier.trust())?.logs ?? [])
      if (view.ok) return view.value
      throw otherAnswer(arrived, `holds no checkpoint: ${view.problem.detail} (${view.problem.code})`)
    })
  }

  async #bytesAt(path: string, options: CallOptions): Promise<Uint8Array | undefined> {
    try {
      return (await this.#core.send({ method: 'GET', path: `/log/${path}` }, options)).bytes
    } catch (error) {
      if (isApiError(error) && error.status === 404) return undefined
      throw error
    }
  }
}
