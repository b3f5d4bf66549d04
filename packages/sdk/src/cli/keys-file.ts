/** Key files: a trust bundle, or a key set that the person vouches for or nobody does. */
import { readKeySet, readTrust, type Trust, type TrustBundle, type VerificationKey } from '../integrity/index.ts'
import { parseStrictJson } from '../integrity/strict-json.ts'
import { readInput } from './command.ts'
import { CommandError } from './command-error.ts'
import type { CommandIo } from './io.ts'

/** Options that say whom to trust. */
export interface KeyOptions {
  /** File with a trust bundle or a key set. */
  readonly keys?: string
  /** Name of the issuer the person vouches the keys for. */
  readonly issuer?: string
}

/** Keys to verify with. */
export interface KeyMaterial {
  /** Keys that are trusted, and for whom. */
  readonly trust?: Trust
  /** Keys that nobody vouches for. */
  readonly keys?: readonly VerificationKey[]
}

/** A key set has no window of its own; whoever names the issuer vouches for all time. */
const SINCE_EVER = '1970-01-01T00:00:00Z'

/**
 * The keys of a file: of a trust bundle trusted as it says; of a key set trusted for the issuer that is named, and for
 * nobody without a name.
 *
 * @throws CommandError when the file is neither.
 */
export async function readKeys(io: CommandIo, { keys: path, issuer }: KeyOptions, next: string): Promise<KeyMaterial> {
  if (path === undefined) {
    if (issuer === undefined) return {}
    throw new CommandError('input', '--issuer says whose the keys are; the keys themselves are missing.', next)
  }
  const value = await jsonOf(io, path, next)
  const bundle = issuer === undefined ? value : vouchedFor(value, issuer)
  if (isTrustBundle(bundle)) {
    const trust = await readTrust(bundle)
    if (!trust.ok) throw refused(path, trust.problem.detail, trust.problem.pointer, next)
    return { trust: trust.value }
  }
  const keys = await readKeySet(value)
  if (!keys.ok) throw refused(path, keys.problem.detail, keys.problem.pointer, next)
  return { keys: keys.value }
}

async function jsonOf(io: CommandIo, path: string, next: string): Promise<unknown> {
  const json = parseStrictJson(await readInput(io, path, next))
  if (json.ok) return json.value
  throw refused(path, json.problem.detail, json.problem.pointer, next)
}

function vouchedFor(value: unknown, issuer: string): unknown {
  if (!hasKeys(value) || isTrustBundle(value)) return value
  return { keys: value.keys.map((jwk) => ({ jwk, issuer, notBefore: SINCE_EVER })) }
}

function isTrustBundle(value: unknown): value is TrustBundle {
  return hasKeys(value) && value.keys.some((each) => typeof each === 'object' && each !== null && 'jwk' in each)
}

function hasKeys(value: unknown): value is { readonly keys: readonly unknown[] } {
  return typeof value === 'object' && value !== null && 'keys' in value && Array.isArray(value.keys)
}

function refused(path: string, detail: string, pointer: string, next: string): CommandError {
  const place = pointer === '' ? '' : ` at ${pointer}`
  return new CommandError('input', `${path} holds no usable keys${place}: ${detail}.`, next)
}
