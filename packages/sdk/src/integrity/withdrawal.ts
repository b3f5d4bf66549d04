/** The signed withdrawal of a summary. */
import type { SigningKey, VerificationKey } from './ed25519-key.ts'
import { instantKey } from './instant.ts'
import { accepted, type Outcome, refused } from './outcome.ts'
import type { Trust } from './trust.ts'
import { signDocument, type TypedJwsCode, verifyDocument } from './typed-jws.ts'

/** The type of a withdrawal. */
export const WITHDRAWAL_TYP = 'fairpull-withdrawal+jws'

/** What a withdrawal says. */
export interface Withdrawal {
  /** Name of the issuing service. */
  readonly issuer: string
  /** Identity of the summary that is withdrawn. */
  readonly summary: string
  /** When, RFC 3339 in UTC. */
  readonly at: string
  /** Why, in the words of whoever submitted it. */
  readonly reason: string
}

/** The signed withdrawal. */
export function signWithdrawal(withdrawal: Withdrawal, key: SigningKey): Promise<string> {
  return signDocument(withdrawal, WITHDRAWAL_TYP, key)
}

/** The withdrawal in a JWS that one of the keys signed. Taken as hostile; never throws. */
export async function verifyWithdrawal(
  jws: unknown,
  keys: readonly VerificationKey[],
): Promise<Outcome<Withdrawal, TypedJwsCode>> {
  const read = await verifyDocument(jws, WITHDRAWAL_TYP, keys)
  if (!read.ok) return read
  const { issuer, summary, at, reason } = read.value.payload
  const texts = [issuer, summary, at, reason]
  if (!texts.every((text) => typeof text === 'string') || instantKey(at) === undefined) {
    return refused('ERR_DOCUMENT_FORM', 'a withdrawal names issuer, summary, time and reason')
  }
  return accepted(read.value.payload as unknown as Withdrawal)
}

/**
 * The withdrawal of one summary of an issuer: by a key that is trusted for this issuer, or, where nobody is trusted, by one
 * that came along.
 *
 * @param notice taken as hostile
 * @returns undefined when nothing of the kind is shown. Never throws.
 */
export async function withdrawalShown(
  notice: unknown,
  { issuer, id }: { readonly issuer: string; readonly id: string },
  { trust, keys = [] }: { readonly trust?: Trust; readonly keys?: readonly VerificationKey[] },
): Promise<Withdrawal | undefined> {
  const trusted = [...(trust?.keys.values() ?? [])].filter((entry) => entry.issuer === issuer).map(({ key }) => key)
  const read = await verifyWithdrawal(notice, trust === undefined ? keys : trusted)
  return read.ok && read.value.issuer === issuer && read.value.summary === id ? read.value : undefined
}
