/** Compact JWS of documents other than summaries: each over RFC 8785 bytes, each of a type of its own. */
import { CompactSign, compactVerify } from 'jose'
import { canonicalJsonBytes } from './canonical-json.ts'
import type { SigningKey, VerificationKey } from './ed25519-key.ts'
import { SUMMARY_ALG } from './header-policy.ts'
import { isJsonObject, type JsonObject } from './json-object.ts'
import { readEnvelope } from './jws.ts'
import { accepted, type Outcome, refused } from './outcome.ts'
import { parseStrictJson } from './strict-json.ts'

/** Why a signed document was refused. */
export type TypedJwsCode = 'ERR_DOCUMENT_FORM' | 'ERR_DOCUMENT_NO_KEY' | 'ERR_DOCUMENT_SIGNATURE'

/** A signed document that verified. */
export interface VerifiedDocument {
  /** Thumbprint of the key that signed it. */
  readonly kid: string
  readonly payload: JsonObject
}

/** The signed document. @throws IntegrityError `ERR_NOT_CANONICALISABLE` when it cannot be said in JSON. */
export function signDocument(payload: object, typ: string, key: SigningKey): Promise<string> {
  const header = { alg: SUMMARY_ALG, kid: key.kid, typ }
  return new CompactSign(canonicalJsonBytes(payload)).setProtectedHeader(header).sign(key.cryptoKey)
}

/**
 * The payload of a document of this type that one of the keys signed.
 *
 * 1. The text is a compact JWS whose header holds exactly `alg`, `kid` and `typ` of this type. 2. The key it names is at
 * hand. 3. That key signed these bytes. 4. The payload is a JSON object.
 *
 * @param jws anything; taken as hostile. Never throws.
 */
export async function verifyDocument(
  jws: unknown,
  typ: string,
  keys: readonly VerificationKey[],
): Promise<Outcome<VerifiedDocument, TypedJwsCode>> {
  const envelope = readEnvelope(jws)
  if (!envelope.ok) return refused('ERR_DOCUMENT_FORM', envelope.problem.detail)
  const { header, payload, text } = envelope.value
  const isTyped =
    isJsonObject(header) &&
    Object.keys(header).sort().join() === 'alg,kid,typ' &&
    header.alg === SUMMARY_ALG &&
    header.typ === typ
  if (!isTyped) return refused('ERR_DOCUMENT_FORM', `the header is not that of ${typ}`)
  const key = keys.find(({ kid }) => kid === header.kid)
  if (key === undefined) return refused('ERR_DOCUMENT_NO_KEY', 'none of the keys at hand is the one the header names')
  if (!(await isSigned(text, key))) return refused('ERR_DOCUMENT_SIGNATURE', 'the text is not what the key signed')
  const read = parseStrictJson(payload)
  if (!read.ok || !isJsonObject(read.value)) return refused('ERR_DOCUMENT_FORM', 'the payload is no JSON object')
  return accepted({ kid: key.kid, payload: read.value })
}

async function isSigned(jws: string, key: VerificationKey): Promise<boolean> {
  try {
    await compactVerify(jws, key.cryptoKey, { algorithms: [SUMMARY_ALG] })
    return true
  } catch {
    return false
  }
}
