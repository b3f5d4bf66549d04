/**
 * The trust list: what an offline root key says of the online keys of an issuer. Versioned and expiring, so that an old list
 * cannot be played back for long, and not at all to whoever has seen a newer one.
 */
import { canonicalJson } from './canonical-json.ts'
import type { KeyCode, SigningKey, VerificationKey } from './ed25519-key.ts'
import { instantKey } from './instant.ts'
import { accepted, type Outcome, refused } from './outcome.ts'
import { sha256Text } from './sha256.ts'
import { readTrust, type Trust, type TrustBundle, type TrustCode } from './trust.ts'
import { signDocument, verifyDocument } from './typed-jws.ts'

/** The type of a trust list. */
export const TRUST_LIST_TYP = 'fairpull-trust+jws'

/** A trust list as signed: a trust bundle with a version and a span. */
export interface TrustList extends TrustBundle {
  /** Grows by every list that the root signs. */
  readonly version: number
  /** When it was signed, RFC 3339 in UTC. */
  readonly issuedAt: string
  /** Until when it may be used, RFC 3339 in UTC. */
  readonly expiresAt: string
}

/** Why a trust list was refused. */
export type TrustListCode =
  | TrustCode
  | KeyCode
  | 'ERR_TRUST_LIST_SIGNATURE'
  | 'ERR_TRUST_LIST_FORM'
  | 'ERR_TRUST_LIST_EXPIRED'
  | 'ERR_TRUST_LIST_OLDER'
  | 'ERR_TRUST_LIST_OTHER'

/** The newest list a reader has seen; to be kept, and brought along the next time. */
export interface SeenTrustList {
  readonly version: number
  /** SHA-256 of its canonical form, `sha256:…`. */
  readonly digest: string
}

/** A trust list that was read. */
export interface ReadTrustList {
  readonly trust: Trust
  readonly list: TrustList
  /** What to keep. */
  readonly seen: SeenTrustList
}

/** The signed trust list. */
export function signTrustList(list: TrustList, root: SigningKey): Promise<string> {
  return signDocument(list, TRUST_LIST_TYP, root)
}

/**
 * Reads a signed trust list.
 *
 * 1. The root signed it. 2. It has version, times and keys. 3. It has not expired. 4. It is not older than the newest one
 * seen, nor another of the same version. 5. Its keys are a trust bundle.
 *
 * @param jws the list, taken as hostile
 * @param reader `root`, known from elsewhere; `now`, RFC 3339 in UTC; and what was seen before, if anything
 * @returns the trust, or a closed code. Never throws.
 */
export async function readTrustList(
  jws: unknown,
  reader: { readonly root: VerificationKey; readonly now: string; readonly seen?: SeenTrustList },
): Promise<Outcome<ReadTrustList, TrustListCode>> {
  const signed = await verifyDocument(jws, TRUST_LIST_TYP, [reader.root])
  if (!signed.ok) return refused('ERR_TRUST_LIST_SIGNATURE', signed.problem.detail)
  const { version, issuedAt, expiresAt } = signed.value.payload
  const [now, expiry] = [instantKey(reader.now), instantKey(expiresAt)]
  const isWhole = typeof version === 'number' && Number.isSafeInteger(version) && version > 0
  if (!isWhole || now === undefined || expiry === undefined || instantKey(issuedAt) === undefined) {
    return refused('ERR_TRUST_LIST_FORM', 'a trust list has a version from 1 and two times in UTC')
  }
  if (now > expiry) return refused('ERR_TRUST_LIST_EXPIRED', 'the trust list has expired; fetch the present one')
  const seen = { version, digest: await sha256Text(new TextEncoder().encode(canonicalJson(signed.value.payload))) }
  if (reader.seen !== undefined && version < reader.seen.version) {
    return refused('ERR_TRUST_LIST_OLDER', `version ${reader.seen.version} was seen before this version ${version}`)
  }
  if (version === reader.seen?.version && seen.digest !== reader.seen.digest) {
    return refused('ERR_TRUST_LIST_OTHER', 'another list of this version was seen before')
  }
  const trust = await readTrust(signed.value.payload)
  if (!trust.ok) return trust
  return accepted({ trust: trust.value, list: signed.value.payload as unknown as TrustList, seen })
}
