import type { SummaryPayload } from '@fairpull/sdk/contract'
import { type SigningKey, signReceipt, signSummary, signWithdrawal } from '@fairpull/sdk/verify'
import type { Signer } from '../ports.ts'
import { openKey } from './key-file.ts'

/** File of the signing key in its folder: an Ed25519 JWK (RFC 8037) with its private part. */
export const SIGNING_KEY_FILE = 'signing-key.json'

/**
 * The signer over the key in a folder; at first start the key is made there. Folder and file are closed to others
 * (0700, 0600).
 *
 * @param folder absolute path, `keys` in the data folder.
 * @throws StartRefused when the folder cannot be written to, or the key file can be read by others or holds no key.
 */
export async function openSigner(folder: string): Promise<Signer> {
  return createSigner(await openKey(folder, SIGNING_KEY_FILE))
}

/** The signer over an imported key. */
export function createSigner(key: SigningKey): Signer {
  return {
    keyId: key.kid,
    sign: async (payload: SummaryPayload) => {
      const jws = await signSummary(payload, key)
      return { jws, payload: payloadBytes(jws) }
    },
    signWithdrawal: (withdrawal) => signWithdrawal(withdrawal, key),
    signReceipt: (receipt) => signReceipt(receipt, key),
    publicKeys: () => ({ keys: [key.jwk] }),
  }
}

/** The bytes that were signed, taken from the signed text itself, so that no other copy can differ. */
function payloadBytes(jws: string): Uint8Array {
  const [, payload = ''] = jws.split('.')
  return Buffer.from(payload, 'base64url')
}
