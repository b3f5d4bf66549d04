/** Private keys in files: Ed25519 JWKs (RFC 8037), closed to others. */
import { join } from 'node:path'
import { importSigningKey, type SigningKey } from '@fairpull/sdk/verify'
import { exportJWK, generateKeyPair } from 'jose'
import { StartRefused } from '../store/failure.ts'
import { prepareFolder } from '../store/folder.ts'
import { readOrCreateSecret } from '../store/secret-file.ts'

/**
 * The key in a file; made there when there is none. Folder and file are closed to others (0700, 0600).
 *
 * @throws StartRefused when the folder cannot be written to, or the file can be read by others or holds no key.
 */
export async function openKey(folder: string, name: string): Promise<SigningKey> {
  await prepareFolder(folder)
  const file = join(folder, name)
  return importedKey(file, await readOrCreateSecret(file, createKeyText))
}

/** A fresh private key as the text of its file. */
export async function createKeyText(): Promise<string> {
  const { privateKey } = await generateKeyPair('Ed25519', { extractable: true })
  return `${JSON.stringify(await exportJWK(privateKey), null, 2)}\n`
}

/** The key in the text of a file. @throws StartRefused when it holds none. */
export async function importedKey(file: string, text: string): Promise<SigningKey> {
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
