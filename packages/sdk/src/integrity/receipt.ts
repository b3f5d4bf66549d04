/** The signed receipt of a run: a compact JWS over the RFC 8785 bytes of its payload, of its own type. */
import { CompactSign, compactVerify } from 'jose'
import type { RunReceipt } from '../contract/index.ts'
import { canonicalJsonBytes } from './canonical-json.ts'
import type { SigningKey, VerificationKey } from './ed25519-key.ts'
import { SUMMARY_ALG } from './header-policy.ts'
import { isJsonObject } from './json-object.ts'
import { readEnvelope } from './jws.ts'
import { accepted, type Outcome, refused } from './outcome.ts'
import { parseStrictJson } from './strict-json.ts'

/** The type of a receipt; no summary has it, so that neither can stand for the other. */
export const RECEIPT_TYP = 'fairpull-receipt+jws'

/** Why a receipt was refused. */
export type ReceiptCode = 'ERR_RECEIPT_FORM' | 'ERR_RECEIPT_NO_KEY' | 'ERR_RECEIPT_SIGNATURE'

/**
 * The signed receipt of a run. Ed25519 is deterministic: the same payload and key give the same text.
 *
 * @throws IntegrityError `ERR_NOT_CANONICALISABLE` when the payload cannot be said in JSON.
 */
export function signReceipt(receipt: RunReceipt, key: SigningKey): Promise<string> {
  const header = { alg: SUMMARY_ALG, kid: key.kid, typ: RECEIPT_TYP }
  return new CompactSign(canonicalJsonBytes(receipt)).setProtectedHeader(header).sign(key.cryptoKey)
}

/**
 * The payload of a receipt that one of the keys signed.
 *
 * 1. The text is a compact JWS whose header holds exactly `alg`, `kid` and `typ` of a receipt. 2. The key it names is at
 * hand. 3. That key signed these bytes. 4. The payload is a JSON object.
 *
 * @param jws anything; taken as hostile. Never throws.
 */
export async function verifyReceipt(
  jws: unknown,
  keys: readonly VerificationKey[],
): Promise<Outcome<RunReceipt, ReceiptCode>> {
  const envelope = readEnvelope(jws)
  if (!envelope.ok) return refused('ERR_RECEIPT_FORM', envelope.problem.detail)
  const { header, payload, text } = envelope.value
  const isReceipt =
    isJsonObject(header) &&
    Object.keys(header).sort().join() === 'alg,kid,typ' &&
    header.alg === SUMMARY_ALG &&
    header.typ === RECEIPT_TYP
  if (!isReceipt) return refused('ERR_RECEIPT_FORM', 'the header is not that of a receipt')
  const key = keys.find(({ kid }) => kid === header.kid)
  if (key === undefined) return refused('ERR_RECEIPT_NO_KEY', 'none of the keys at hand is the one the header names')
  if (!(await isSigned(text, key))) return refused('ERR_RECEIPT_SIGNATURE', 'the text is not what the key signed')
  const read = parseStrictJson(payload)
  if (!read.ok || !isJsonObject(read.value)) return refused('ERR_RECEIPT_FORM', 'the payload is no JSON object')
  return accepted(read.value as unknown as RunReceipt)
}

async function isSigned(jws: string, key: VerificationKey): Promise<boolean> {
  try {
    await compactVerify(jws, key.cryptoKey, { algorithms: [SUMMARY_ALG] })
    return true
  } catch {
    return false
  }
}
