/**
 * What a plan leaves in the log: salted hashes, so that nobody can guess a plan or a run from the public log, and whoever
 * is shown the plan can find its entries.
 */
import type { Plan } from '../contract/index.ts'
import { canonicalJson, canonicalJsonBytes } from './canonical-json.ts'
import { sha256, sha256Text } from './sha256.ts'

const PLAN_TAG = 'fairpull-plan-v1\n'
const RUN_TAG = 'fairpull-plan-run-v1\n'
const MOUNTING_TAG = 'fairpull-mounting-v1\n'

const encoder = new TextEncoder()

/** One version of a plan, as committed to. */
export interface PlanVersion {
  /** Identity of the plan. */
  readonly plan: string
  /** Number of the version, from 1. */
  readonly version: number
  /** Why it was amended; null for the first version. */
  readonly reason: string | null
  /** The terms. */
  readonly terms: Plan
}

/** One logged run, as committed to. */
export interface PlanRunEntry {
  /** Identity of the plan. */
  readonly plan: string
  /** Number of the run under the plan. */
  readonly number: number
  /** Digest of the run. */
  readonly digest: string
  /** Digest of the mounting sent with it; null when none was. */
  readonly mounting: string | null
}

/**
 * The log entry of one version of a plan: the tag `fairpull-plan-v1`, a line feed, and the SHA-256 over the salt and the
 * RFC 8785 form of the version.
 *
 * @param salt 64 hex digits.
 * @throws IntegrityError `ERR_NOT_CANONICALISABLE` when the version cannot be said in JSON.
 */
export function planLogEntry(version: PlanVersion, salt: string): Promise<Uint8Array<ArrayBuffer>> {
  return saltedEntry(PLAN_TAG, version, salt)
}

/** The log entry of one run of a plan: as that of a plan, under the tag `fairpull-plan-run-v1`. */
export function planRunLogEntry(entry: PlanRunEntry, salt: string): Promise<Uint8Array<ArrayBuffer>> {
  return saltedEntry(RUN_TAG, entry, salt)
}

/** Digest of a mounting: SHA-256 over the tag `fairpull-mounting-v1`, a line feed, and its RFC 8785 form. */
export async function mountingDigest(mounting: object): Promise<string> {
  return sha256Text(encoder.encode(MOUNTING_TAG + canonicalJson(mounting)))
}

async function saltedEntry(tag: string, value: object, salt: string): Promise<Uint8Array<ArrayBuffer>> {
  const hash = await sha256(joined(bytesOfHex(salt), canonicalJsonBytes(value)))
  return joined(encoder.encode(tag), hash)
}

function bytesOfHex(hex: string): Uint8Array {
  return Uint8Array.from(hex.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16))
}

function joined(one: Uint8Array, other: Uint8Array): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(one.length + other.length)
  bytes.set(one)
  bytes.set(other, one.length)
  return bytes
}
