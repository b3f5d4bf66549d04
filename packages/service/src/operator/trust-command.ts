/** `fairpull-service trust`: the root signs a new trust list. Needs the folder of keys and the root key, no database. */
import { readFile, rename } from 'node:fs/promises'
import { join, resolve } from 'node:path'
import { importSigningKey, type SigningKey, type TrustList } from '@fairpull/sdk/verify'
import type { Settings } from '../env.ts'
import { createKeyText, importedKey } from '../signing/key-file.ts'
import { SIGNING_KEY_FILE } from '../signing/signer.ts'
import { renewed, revoked, rotated } from '../signing/trust-changes.ts'
import { type OpenedTrust, readTrustFiles, replaceTrustList } from '../signing/trust-files.ts'
import { readOrCreateSecret, readSecret } from '../store/secret-file.ts'
import { type Console, Misuse } from './console.ts'
import { needed } from './operator-world.ts'
import type { Options } from './options.ts'

/** Key that is about to take over; it is named in the list before it signs anything. */
const NEXT_KEY_FILE = 'next-signing-key.json'

/** How long the key before may still sign when nothing else is said. [h] */
const OVERLAP_HOURS = '24'

/** Shows the list, or has the root sign the next one. The service reads it at its next start. */
export async function trustCommand(
  verb: string,
  given: Options,
  settings: Settings,
  console: Console,
): Promise<number> {
  const folder = join(settings.dataFolder, 'keys')
  const trust = await readTrustFiles(folder)
  if (verb === 'show') {
    console.print(JSON.stringify({ root: trust.root.kid, ...trust.list }, null, 2))
    return 0
  }
  const root = await rootIn(given, trust)
  const next = await nextList(verb, given, { folder, settings, trust })
  await replaceTrustList(folder, next, root)
  if (verb === 'rotate') await rename(join(folder, NEXT_KEY_FILE), join(folder, SIGNING_KEY_FILE))
  console.say(`Trust list version ${next.version} is signed, until ${next.expiresAt}. Restart every replica with it.`)
  return 0
}

interface TrustWorld {
  readonly folder: string
  readonly settings: Settings
  readonly trust: OpenedTrust
}

async function nextList(verb: string, given: Options, { folder, settings, trust }: TrustWorld): Promise<TrustList> {
  const now = new Date()
  switch (verb) {
    case 'renew':
      return renewed(trust.list, now)
    case 'revoke': {
      const [kid, fromIndex] = [needed(given, 'key'), wholeNumber(given, 'from-index', undefined)]
      if (!trust.trust.keys.has(kid)) throw new Misuse(`The trust list names no key ${kid}; see "trust show".`)
      return revoked(trust.list, { kid, fromIndex }, now)
    }
    case 'rotate': {
      const overlap_hours = wholeNumber(given, 'overlap-hours', OVERLAP_HOURS)
      const path = join(folder, NEXT_KEY_FILE)
      const { jwk } = await importedKey(path, await readOrCreateSecret(path, createKeyText))
      return rotated(trust.list, { jwk, issuer: settings.issuer, overlap_hours }, now)
    }
    default:
      throw new Misuse(`There is no "trust ${verb}"; there are show, renew, rotate and revoke.`)
  }
}

/** The root key from wherever it is kept. @throws Misuse when it is not the one of this list. */
async function rootIn(given: Options, { root }: OpenedTrust): Promise<SigningKey> {
  const path = resolve(needed(given, 'root'))
  const text = (await readSecret(path)) ?? (await readFile(path, 'utf8').catch(() => ''))
  const key = await importSigningKey(parsed(text))
  if (!key.ok) throw new Misuse(`${path} holds no private key.`)
  if (key.value.kid !== root.kid) throw new Misuse(`${path} is not the root key of this list, which is ${root.kid}.`)
  return key.value
}

function wholeNumber(given: Options, name: 'from-index' | 'overlap-hours', otherwise: string | undefined): number {
  const text = given[name] ?? otherwise ?? needed(given, name)
  if (!/^\d{1,15}$/.test(text)) throw new Misuse(`--${name} is a whole number from 0.`)
  return Number(text)
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}
