/** What stands between an answer of the service and the caller: nothing unverified gets through. */
import type { Comparison, LogReceipt, Result, SummaryPayload } from '../contract/index.ts'
import type { Trust, TrustBundle, VerificationKey, VerificationReport, Withdrawal } from '../integrity/index.ts'
import { type Answer, jsonOf } from './answer.ts'
import { ConfigurationError, UnexpectedAnswerError } from './errors.ts'

/** An issued summary whose signature has been checked. */
export interface Assessment {
  /** Identity of the summary. */
  readonly id: string
  /** The signed summary: compact JWS. This is what is published and verified. */
  readonly summary: string
  /** Its place in the log, proven as far as the report says; absent where the service keeps no log. */
  readonly log?: LogReceipt
  /** The signed payload, taken out of the summary itself. */
  readonly payload: SummaryPayload
  /** The result inside the payload. */
  readonly result: Result
  /** How far the summary verified; `intact-key-unknown` when the client was given no trust. */
  readonly report: VerificationReport
}

/** Checks signed summaries for one client. */
export interface SummaryVerifier {
  /** Reads the trust. @throws ConfigurationError when it is none. */
  readonly ready: () => Promise<void>
  /**
   * The assessment in an answer.
   *
   * @param sent the comparison that was sent; the summary must be of that one. Undefined when none was sent.
   * @throws VerificationError the summary did not verify; its payload is not exposed.
   * @throws UnexpectedAnswerError the answer holds no summary, or the summary of something else.
   */
  readonly assessmentIn: (answer: Answer, sent: Comparison | undefined) => Promise<Assessment>
  /** What the client trusts; undefined where it was given no trust. @throws ConfigurationError when it is none. */
  readonly trust: () => Promise<Trust | undefined>
  /**
   * The withdrawal of a summary that a notice in an answer shows.
   *
   * @throws UnexpectedAnswerError it is not of this summary, or not by a key you trust.
   */
  readonly withdrawalIn: (notice: string, id: string, place: Place) => Promise<Withdrawal>
  /** The assessment in a part of an answer, as `assessmentIn`. */
  readonly assessmentOf: (issued: unknown, place: Place, sent: Comparison | undefined) => Promise<Assessment>
}

/** The answer that something came in. */
export type Place = Pick<Answer, 'status' | 'exchange'>

/** Keys a summary may be checked with. */
interface Keys {
  readonly trust?: Trust
  readonly keys?: readonly VerificationKey[]
}

/**
 * A verifier under the trust of the client.
 *
 * @param trust a trust bundle, or one that was read. Without it the service's own key set shows that a summary is intact,
 * and the report says that nobody vouches for the key.
 * @param fetchKeySet asks the service for its key set.
 */
export function createVerifier(
  trust: Trust | TrustBundle | undefined,
  fetchKeySet: () => PromiseLike<unknown>,
): SummaryVerifier {
  let read: Promise<Trust> | undefined
  let served: readonly VerificationKey[] = []
  const trusted = (given: Trust | TrustBundle) => {
    read ??= trustOf(given)
    return read
  }

  const keysFor = async (summary: string): Promise<Keys> => {
    if (trust !== undefined) return { trust: await trusted(trust) }
    if (!served.some(({ kid }) => isNamedBy(summary, kid))) served = await keysOf(fetchKeySet())
    return { keys: served }
  }
  const assessmentOf: SummaryVerifier['assessmentOf'] = async (issued, place, sent) => {
    const { id, summary, log } = issuedIn(issued, place)
    const options = {
      ...(await keysFor(summary)),
      ...(log === undefined ? {} : { log }),
      acceptUnknownKey: trust === undefined,
    }
    // Loaded with the first answer: it is most of the client's weight.
    const { verifySummaryOrThrow } = await import('../integrity/verify-summary.ts')
    const { payload, report } = await verifySummaryOrThrow(
      summary,
      sent === undefined ? options : { ...options, comparison: sent },
    )
    refuseOther(place, id, payload, report)
    return { id, summary, ...(log === undefined ? {} : { log }), payload, result: payload.result, report }
  }
  return {
    ready: async () => {
      if (trust !== undefined) await trusted(trust)
    },
    trust: async () => (trust === undefined ? undefined : trusted(trust)),
    withdrawalIn: async (notice, id, place) => {
      const keys = await keysFor(notice)
      const { withdrawalShown } = await import('../integrity/withdrawal.ts')
      const issuers = new Set([...(keys.trust?.keys.values() ?? [])].map(({ issuer }) => issuer))
      const claimed = keys.trust === undefined ? [issuerIn(notice)] : [...issuers]
      for (const issuer of claimed) {
        const shown = await withdrawalShown(notice, { issuer, id }, keys)
        if (shown !== undefined) return shown
      }
      throw otherAnswer(place, `shows a withdrawal of ${id} that nobody you trust signed`)
    },
    assessmentIn: async (answer, sent) => assessmentOf(jsonOf(answer), answer, sent),
    assessmentOf,
  }
}

/** The member of the answer that counts; its readable copy of the payload is not looked at. */
function issuedIn(
  value: unknown,
  place: Place,
): {
  readonly id: string
  readonly summary: string
  readonly log: LogReceipt | undefined
} {
  if (typeof value === 'object' && value !== null && 'id' in value && 'summary' in value) {
    const { id, summary } = value
    // The verification reads the place in the log as hostile; here it is only passed on.
    const log = 'log' in value ? (value.log as LogReceipt) : undefined
    if (typeof id === 'string' && typeof summary === 'string') return { id, summary, log }
  }
  throw otherAnswer(place, 'holds no signed summary. Check baseUrl; an older service may answer in another form')
}

/** A summary that verifies may still be somebody else's. */
function refuseOther(place: Place, id: string, payload: SummaryPayload, report: VerificationReport): void {
  if (payload.issue.id !== id) throw otherAnswer(place, `names the summary ${id}, but holds ${payload.issue.id}`)
  if (report.recomputed.answer === 'other-inputs') {
    throw otherAnswer(
      place,
      'holds a summary of other data than were sent. Do not use it; tell the operator of the service',
    )
  }
}

/** The error for an answer that a service of this kind does not give. */
export function otherAnswer({ status, exchange }: Place, what: string): UnexpectedAnswerError {
  const message = `The answer to ${exchange.method} ${exchange.url} ${what}.`
  return new UnexpectedAnswerError('ERR_UNEXPECTED_ANSWER', message, status, null, exchange)
}

async function trustOf(given: Trust | TrustBundle): Promise<Trust> {
  if (given.keys instanceof Map) return given as Trust
  const { readTrust } = await import('../integrity/trust.ts')
  const trust = await readTrust(given)
  if (trust.ok) return trust.value
  const { detail, pointer } = trust.problem
  throw new ConfigurationError('trust', `${pointer === '' ? '' : `at ${pointer}, `}${detail}.`)
}

async function keysOf(fetched: PromiseLike<unknown>): Promise<readonly VerificationKey[]> {
  const { readKeySet } = await import('../integrity/key-set.ts')
  const keys = await readKeySet(await fetched)
  return keys.ok ? keys.value : []
}

/** The issuer that a withdrawal names; empty where it names none. Looked at where nobody is trusted anyway. */
function issuerIn(notice: string): string {
  try {
    const bytes = Uint8Array.from(binaryOf(notice.split('.')[1]), (character) => character.charCodeAt(0))
    return String(JSON.parse(new TextDecoder().decode(bytes)).issuer)
  } catch {
    return ''
  }
}

/** Whether the header of a compact JWS names this key; decides only whether to ask for the key set once more. */
function isNamedBy(summary: string, kid: string): boolean {
  try {
    return binaryOf(summary.split('.', 1)[0]).includes(`"${kid}"`)
  } catch {
    return false
  }
}

function binaryOf(part = ''): string {
  return atob(part.replaceAll('-', '+').replaceAll('_', '/'))
}
