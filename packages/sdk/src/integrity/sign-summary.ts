import type { SummaryPayload } from '../contract/index.ts'
import type { SigningKey } from './ed25519-key.ts'
import { signCompact } from './jws.ts'
import { writePayload } from './summary-payload.ts'

/**
 * The signed summary of a payload: a compact JWS over its RFC 8785 bytes, `alg` Ed25519, `typ` and `kid` protected.
 *
 * Ed25519 is deterministic: the same payload and key give the same text.
 *
 * @throws IntegrityError `ERR_NOT_CANONICALISABLE` or `ERR_PAYLOAD_NOT_SIGNABLE`; nothing is signed then.
 */
export async function signSummary(payload: SummaryPayload, key: SigningKey): Promise<string> {
  return signCompact(writePayload(payload), key)
}
