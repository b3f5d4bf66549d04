import type { SigningKey } from '../../../packages/sdk/src/integrity/ed25519-key.ts'
import { signBytes } from '../../../packages/sdk/src/integrity/ed25519-key.ts'
import { base64url, fromText } from './bytes.ts'

/** A compact JWS with any header and payload text, truly signed by the key: what only the envelope and header rules stop. */
export async function signedText(header: string, payload: string | Uint8Array, key: SigningKey): Promise<string> {
  const input = `${base64url(header)}.${base64url(payload)}`
  return `${input}.${base64url(await signBytes(key, fromText(input)))}`
}

/** As `signedText`, with the header that a summary has and the members of `change` over it. */
export async function signedWith(
  change: Readonly<Record<string, unknown>>,
  payload: string | Uint8Array,
  key: SigningKey,
): Promise<string> {
  const header = { alg: 'Ed25519', kid: key.kid, typ: 'fairpull-summary+jws', ...change }
  return signedText(JSON.stringify(header), payload, key)
}
