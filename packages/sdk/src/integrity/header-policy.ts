/**
 * Which protected headers a signed summary may have: exactly `alg`, `typ` and `kid`, each with one form.
 *
 * Everything else that JOSE offers lets the sender choose the key, the algorithm or the meaning of the payload. Each such
 * member is refused under its own code, before any key is looked at, and nothing is ever fetched.
 */
import { isJsonObject } from './json-object.ts'
import { accepted, type Outcome, refused } from './outcome.ts'

/** The algorithm of a signed summary, fully specified (RFC 9864 §2.2); the polymorphic `EdDSA` is not taken. */
export const SUMMARY_ALG = 'Ed25519'

/** The type of a signed summary. */
export const SUMMARY_TYP = 'fairpull-summary+jws'

/** Why a protected header was refused. */
export type HeaderCode =
  | 'ERR_HEADER_MEMBER'
  | 'ERR_HEADER_B64'
  | 'ERR_HEADER_CRIT'
  | 'ERR_HEADER_JKU'
  | 'ERR_HEADER_JWK'
  | 'ERR_HEADER_X5U'
  | 'ERR_HEADER_X5C'
  | 'ERR_HEADER_ALG_NONE'
  | 'ERR_HEADER_ALG_SYMMETRIC'
  | 'ERR_HEADER_ALG_OTHER'
  | 'ERR_HEADER_TYP'
  | 'ERR_HEADER_KID'

/** The protected header of a signed summary. */
export interface SummaryHeader {
  /** Algorithm. */
  readonly alg: typeof SUMMARY_ALG
  /** Type. */
  readonly typ: typeof SUMMARY_TYP
  /** RFC 7638 SHA-256 thumbprint of the signing key, base64url. */
  readonly kid: string
}

/** Each has a code of its own name. */
const refusedMembers = [
  ['b64', 'an unencoded payload (b64) is not taken'],
  ['crit', 'critical extensions are not taken'],
  ['jku', 'a key address in the header is never followed'],
  ['jwk', 'a key in the header is never used'],
  ['x5u', 'a certificate address in the header is never followed'],
  ['x5c', 'a certificate in the header is never used'],
] as const

type RefusedMember = (typeof refusedMembers)[number][0]

const allowedMembers: readonly string[] = ['alg', 'typ', 'kid']

/**
 * The protected header, when it is one that a signed summary may have.
 *
 * Order: dangerous members, other unknown members, `alg`, `typ`, `kid`; the first that fails names the code.
 *
 * @param header a JSON value, taken as hostile. Pure; never throws.
 */
export function readHeader(header: unknown): Outcome<SummaryHeader, HeaderCode> {
  if (!isJsonObject(header)) return refused('ERR_HEADER_MEMBER', 'the protected header is no JSON object')
  const { alg, typ, kid } = header
  const problem = problemOfMembers(Object.keys(header)) ?? problemOfAlg(alg)
  if (problem !== undefined) return problem
  if (typ !== SUMMARY_TYP) return refused('ERR_HEADER_TYP', `the type is not ${SUMMARY_TYP}`, '/typ')
  if (typeof kid !== 'string' || !/^[A-Za-z0-9_-]{43}$/.test(kid)) {
    return refused('ERR_HEADER_KID', 'the kid is not the thumbprint of a key', '/kid')
  }
  return accepted({ alg: SUMMARY_ALG, typ: SUMMARY_TYP, kid })
}

function problemOfMembers(names: readonly string[]): Outcome<never, HeaderCode> | undefined {
  for (const [name, detail] of refusedMembers) {
    if (!names.includes(name)) continue
    return refused(`ERR_HEADER_${name.toUpperCase() as Uppercase<RefusedMember>}`, detail, `/${name}`)
  }
  const unknown = names.some((name) => !allowedMembers.includes(name))
  return unknown ? refused('ERR_HEADER_MEMBER', 'the header may hold alg, typ and kid only') : undefined
}

function problemOfAlg(alg: unknown): Outcome<never, HeaderCode> | undefined {
  if (alg === SUMMARY_ALG) return undefined
  const name = typeof alg === 'string' ? alg.toLowerCase() : ''
  if (name === 'none') return refused('ERR_HEADER_ALG_NONE', 'an unsigned summary proves nothing', '/alg')
  if (/^hs\d/.test(name)) return refused('ERR_HEADER_ALG_SYMMETRIC', 'a shared secret signs for nobody', '/alg')
  return refused('ERR_HEADER_ALG_OTHER', `the algorithm is not ${SUMMARY_ALG}`, '/alg')
}
