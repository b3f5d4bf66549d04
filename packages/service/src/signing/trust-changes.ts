/** What the root may change in a trust list. Pure: each gives the next version. */
import type { PublicJwk, TrustedKey, TrustList } from '@fairpull/sdk/verify'

/** How long a list may be used. [days] */
const LIST_LIFE_DAYS = 365

const DAY_MS = 24 * 60 * 60 * 1000

/** The first list of an issuer. */
export function firstList(
  { jwk, issuer, logs }: { readonly jwk: PublicJwk; readonly issuer: string; readonly logs: readonly string[] },
  now: Date,
): TrustList {
  return { version: 1, ...spanFrom(now), keys: [{ jwk, issuer, notBefore: now.toISOString() }], logs }
}

/** The same list for another year. */
export function renewed(list: TrustList, now: Date): TrustList {
  return { ...list, version: list.version + 1, ...spanFrom(now) }
}

/**
 * A new key takes over. Those before it may sign for the overlap, in which every replica has to get the new one; what they
 * signed stays valid.
 */
export function rotated(
  list: TrustList,
  { jwk, issuer, overlap_hours }: { readonly jwk: PublicJwk; readonly issuer: string; readonly overlap_hours: number },
  now: Date,
): TrustList {
  const notAfter = new Date(now.getTime() + overlap_hours * 3_600_000).toISOString()
  const closed = list.keys.map((key): TrustedKey => (key.notAfter === undefined ? { ...key, notAfter } : key))
  return { ...renewed(list, now), keys: [...closed, { jwk, issuer, notBefore: now.toISOString() }] }
}

/**
 * A key is not trusted any more for what stands at this index of the log or above, or is not shown to be in it. An index
 * that was set before is only ever lowered.
 *
 * @throws RangeError when the list does not name the key.
 */
export function revoked(
  list: TrustList,
  { kid, fromIndex }: { readonly kid: string; readonly fromIndex: number },
  now: Date,
): TrustList {
  if (!list.keys.some(({ jwk }) => jwk.kid === kid)) throw new RangeError(`the trust list names no key ${kid}`)
  const keys = list.keys.map((key): TrustedKey => {
    if (key.jwk.kid !== kid) return key
    return { ...key, notTrustedFromIndex: Math.min(fromIndex, key.notTrustedFromIndex ?? fromIndex) }
  })
  return { ...renewed(list, now), keys }
}

function spanFrom(now: Date): Pick<TrustList, 'issuedAt' | 'expiresAt'> {
  return {
    issuedAt: now.toISOString(),
    expiresAt: new Date(now.getTime() + LIST_LIFE_DAYS * DAY_MS).toISOString(),
  }
}
