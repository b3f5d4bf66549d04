/** Root key, its public half and the trust list in the folder of keys. */
import { open, rename } from 'node:fs/promises'
import { join } from 'node:path'
import {
  importPublicKey,
  type PublicJwk,
  type ReadTrustList,
  readTrustList,
  type SigningKey,
  signTrustList,
  type TrustList,
  type VerificationKey,
} from '@fairpull/sdk/verify'
import { StartRefused } from '../store/failure.ts'
import { draftOf, flushFolder, isPresent, readIfPresent } from '../store/folder.ts'
import { readOrCreateSecret } from '../store/secret-file.ts'
import { openKey } from './key-file.ts'
import { firstList } from './trust-changes.ts'

/** Private root key; belongs elsewhere once the first start is over. */
export const ROOT_KEY_FILE = 'root-key.json'
const ROOT_PUBLIC_FILE = 'root-public.json'
const TRUST_LIST_FILE = 'trust-list.jws'

/** What the first list is made of. */
export interface FirstTrust {
  readonly jwk: PublicJwk
  readonly issuer: string
  readonly logs: readonly string[]
}

/** The trust list of this service with the root it is signed by. */
export interface OpenedTrust extends ReadTrustList {
  /** The signed list. */
  readonly jws: string
  readonly root: VerificationKey
}

/** Before every expiry: a list past its span is still read here, to be served and renewed. */
const UNTIMED = '1970-01-01T00:00:00Z'

/**
 * The trust list in a folder; at first start the root key is made, and signs the first one.
 *
 * @throws StartRefused when the list cannot be read, is not signed by its root, or does not name the key that signs here.
 */
export async function openTrust(folder: string, first: FirstTrust, now: Date): Promise<OpenedTrust> {
  const text = await readOrCreateSecret(join(folder, TRUST_LIST_FILE), async () => {
    const root = await openKey(folder, ROOT_KEY_FILE)
    await readOrCreateSecret(join(folder, ROOT_PUBLIC_FILE), () => `${JSON.stringify(root.jwk, null, 2)}\n`)
    return `${await signTrustList(firstList(first, now), root)}\n`
  })
  const trust = await readTrustFiles(folder, text)
  const entry = trust.trust.keys.get(first.jwk.kid ?? '')
  if (entry === undefined) throw unusable(folder, 'does not name the key that this service signs with')
  if (entry.issuer !== first.issuer) {
    throw unusable(folder, `names ${JSON.stringify(entry.issuer)} as issuer, and FAIRPULL_ISSUER another one`)
  }
  return trust
}

/** The trust list as it stands in a folder. @throws StartRefused */
export async function readTrustFiles(folder: string, known?: string): Promise<OpenedTrust> {
  const jws = (known ?? (await readIfPresent(join(folder, TRUST_LIST_FILE))) ?? '').trim()
  const root = await importPublicKey(parsed((await readIfPresent(join(folder, ROOT_PUBLIC_FILE))) ?? ''))
  if (!root.ok) throw unusable(folder, `has no root key beside it in ${ROOT_PUBLIC_FILE}`)
  const read = await readTrustList(jws, { root: root.value, now: UNTIMED })
  if (!read.ok) throw unusable(folder, `cannot be used: ${read.problem.detail} (${read.problem.code})`)
  return { ...read.value, jws, root: root.value }
}

/** Whether the private root key still lies in the folder of keys. */
export function isRootHere(folder: string): Promise<boolean> {
  return isPresent(join(folder, ROOT_KEY_FILE))
}

/** Signs a list with the root and puts it in the place of the present one, whole or not at all. */
export async function replaceTrustList(folder: string, list: TrustList, root: SigningKey): Promise<void> {
  const path = join(folder, TRUST_LIST_FILE)
  const draft = draftOf(path)
  const file = await open(draft, 'wx', 0o600)
  try {
    await file.writeFile(`${await signTrustList(list, root)}\n`)
    await file.sync()
  } finally {
    await file.close()
  }
  await rename(draft, path)
  await flushFolder(folder)
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}

function unusable(folder: string, what: string): StartRefused {
  const sentence = `The trust list in ${join(folder, TRUST_LIST_FILE)} ${what}: restore it from a backup, or sign a new one with "fairpull-service trust".`
  return new StartRefused([{ code: 'ERR_TRUST_LIST', sentence }])
}
