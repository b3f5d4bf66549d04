import { join } from 'node:path'
import type { SummaryPayload } from '@fairpull/sdk/contract'
import { importSigningKey, type SigningKey, signReceipt, signSummary } from '@fairpull/sdk/verify'
import { exportJWK, generateKeyPair } from 'jose'
import type { Signer } from '../ports.ts'
import { StartRefused } from '../store/failure.ts'
import { prepareFolder } from '../store/folder.ts'
import { readOrCreateSecret } from '../store/secret-file.ts'

/** File of the signing key in its folder: an Ed25519 JWK (RFC 8037) with its private part. */
const SIGNING_KEY_FILE = 'signing-key.json'

/**
 * The signer over the key in a folder; at first start the key is made there. Folder and file are closed to others
 * (0700, 0600).
 *
 * @param folder absolute path, `keys` in the data folder.
 * @throws StartRefused when the folder cannot be written to, or the key file can be read by others or holds no key.
 */
export async function openSigner(folder: string): Promise<Signer> {
  await prepareFolder(folder)
  const file = join(folder, SIGNING_KEY_FILE)
  const key = await importedKey(file, await readOrCreateSecret(file, createSigningKey))
  return createSigner(key)
}

/** The signer over an imported key. */
export function createSigner(key: SigningKey): Signer {
  return {
    keyId: key.kid,
    sign: async (payload: SummaryPayload) => {
      const jws = await signSummary(payload, key)
      return { jws, payload: payloadBytes(jws) }
    },
    signReceipt: (receipt) => signReceipt(receipt, key),
    publicKeys: () => ({ keys: [key.jwk] }),
  }
}

/** The bytes that were signed, taken from the signed text itself, so that no other copy can differ. */
function payloadBytes(jws: string): Uint8Array {
  const [, payload = ''] = jws.split('.')
  return Buffer.from(payload, 'base64url')
}

async function createSigningKey(): Promise<string> {
  const { privateKey } = await generateKeyPair('Ed25519', { extractable: true })
  return `${JSON.stringify(await exportJWK(privateKey), null, 2)}\n`
}

async function importedKey(file: string, text: string): Promise<SigningKey> {
  const key = await importSigningKey(parsed(text))
  if (key.ok) return key.value
  throw damaged(file, `${key.problem.detail} (${key.problem.code})`)
}

/** Text that is no JSON is no key either, and gets the same answer. */
function parsed(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}

/** The content of the file is not repeated. */
function damaged(file: string, reason: string): StartRefused {
  const sentence = `The signing key in ${file} cannot be used: ${reason}; restore the file from a backup, since a new key would be another issuer.`
  return new StartRefused([{ code: 'ERR_KEY_FILE_DAMAGED', sentence }])
}
