/** The signed receipt of a run: a compact JWS over the RFC 8785 bytes of its payload, of its own type. */
import type { RunReceipt } from '../contract/index.ts'
import type { SigningKey, VerificationKey } from './ed25519-key.ts'
import { instantKey } from './instant.ts'
import { accepted, type Outcome, refused } from './outcome.ts'
import { signDocument, type TypedJwsCode, verifyDocument } from './typed-jws.ts'

/** The type of a receipt; no summary has it, so that neither can stand for the other. */
export const RECEIPT_TYP = 'fairpull-receipt+jws'

/** Why a receipt was refused. */
export type ReceiptCode = 'ERR_RECEIPT_FORM' | 'ERR_RECEIPT_NO_KEY' | 'ERR_RECEIPT_SIGNATURE'

const receiptCodes: Readonly<Record<TypedJwsCode, ReceiptCode>> = {
  ERR_DOCUMENT_FORM: 'ERR_RECEIPT_FORM',
  ERR_DOCUMENT_NO_KEY: 'ERR_RECEIPT_NO_KEY',
  ERR_DOCUMENT_SIGNATURE: 'ERR_RECEIPT_SIGNATURE',
}

/**
 * The signed receipt of a run. Ed25519 is deterministic: the same payload and key give the same text.
 *
 * @throws IntegrityError `ERR_NOT_CANONICALISABLE` when the payload cannot be said in JSON.
 */
export function signReceipt(receipt: RunReceipt, key: SigningKey): Promise<string> {
  return signDocument(receipt, RECEIPT_TYP, key)
}

/** A receipt that verified. */
export interface VerifiedReceipt {
  /** Thumbprint of the key that signed it. */
  readonly kid: string
  readonly receipt: RunReceipt
}

/** The receipt that one of the keys signed; see `verifyDocument`. Taken as hostile; never throws. */
export async function verifyReceipt(
  jws: unknown,
  keys: readonly VerificationKey[],
): Promise<Outcome<VerifiedReceipt, ReceiptCode>> {
  const read = await verifyDocument(jws, RECEIPT_TYP, keys)
  if (!read.ok) return refused(receiptCodes[read.problem.code], read.problem.detail)
  const { kid, payload } = read.value
  return isReceipt(payload)
    ? accepted({ kid, receipt: payload })
    : refused('ERR_RECEIPT_FORM', 'a receipt names issuer, plan, number, run, digest, mounting, log index and time')
}

function isReceipt(payload: object): payload is RunReceipt {
  const { issuer, plan, number, run, digest, mounting, logIndex, receivedAt } = payload as Partial<RunReceipt>
  return (
    [issuer, plan, run, digest, mounting ?? ''].every((text) => typeof text === 'string') &&
    mounting !== undefined &&
    [number, logIndex].every((whole) => Number.isSafeInteger(whole) && Number(whole) >= 0) &&
    instantKey(receivedAt) !== undefined
  )
}
