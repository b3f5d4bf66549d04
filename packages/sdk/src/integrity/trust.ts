/**
 * Whom a reader trusts: an explicit list of keys, each for one issuer and one span of time. Nothing is trusted because a
 * summary or a server says so.
 */
import { importPublicKey, type KeyCode, type PublicJwk, type VerificationKey } from './ed25519-key.ts'
import { instantKey } from './instant.ts'
import { isJsonObject, type JsonObject } from './json-object.ts'
import { accepted, type Outcome, type Refusal, refused } from './outcome.ts'
import type { NoteCode, NoteVerifier } from './signed-note.ts'

/** A key as it stands in a trust bundle. */
export interface TrustedKey {
  /** The public key. */
  readonly jwk: PublicJwk
  /** The one issuer it may sign for; equal to `issue.issuer` of its summaries. */
  readonly issuer: string
  /** First time it may have signed, RFC 3339 in UTC. */
  readonly notBefore: string
  /** Last time it may have signed, RFC 3339 in UTC; open when absent. */
  readonly notAfter?: string
  /** Log index from which its signatures are no longer trusted (a stolen key); absent while it is sound. */
  readonly notTrustedFromIndex?: number
}

/** A trust bundle as written. */
export interface TrustBundle {
  /** Every trusted key, once. */
  readonly keys: readonly TrustedKey[]
  /** Verifier keys of trusted logs, `origin+keyid+key` (C2SP signed-note); none when absent. */
  readonly logs?: readonly string[]
}

/** Why a trust bundle was refused. */
export type TrustCode = KeyCode | NoteCode | 'ERR_TRUST_FORM' | 'ERR_TRUST_WINDOW' | 'ERR_TRUST_DUPLICATE_KEY'

/** A trust bundle that was read; made by `readTrust` only. */
export interface Trust {
  /** Trusted keys by thumbprint. */
  readonly keys: ReadonlyMap<string, TrustEntry>
  /** Keys of trusted logs, each named like the origin of its log. */
  readonly logs: readonly NoteVerifier[]
}

/** One trusted key, imported. */
export interface TrustEntry {
  /** The key. */
  readonly key: VerificationKey
  /** The issuer it may sign for. */
  readonly issuer: string
  /** First time, in comparable form. */
  readonly notBefore: string
  /** Last time, in comparable form; null when open. */
  readonly notAfter: string | null
  /** Log index from which it is not trusted; null while it is sound. */
  readonly notTrustedFromIndex: number | null
}

/** What trust says of a key at the time of a signature. */
export type KeyStatus = 'trusted' | 'unknown' | 'other-issuer' | 'outside-window' | 'revoked'

/**
 * Reads a trust bundle and imports its keys, once for any number of verifications.
 *
 * @param bundle a JSON value, taken as hostile; members that are not named in `TrustBundle` are ignored
 * @returns the trust, or a closed code with the pointer of the member. Never throws.
 */
export async function readTrust(bundle: unknown): Promise<Outcome<Trust, TrustCode>> {
  if (!isJsonObject(bundle) || !Array.isArray(bundle.keys)) {
    return refused('ERR_TRUST_FORM', 'a trust bundle is an object with a list `keys`')
  }
  const keys = new Map<string, TrustEntry>()
  for (const [index, trusted] of bundle.keys.entries()) {
    const entry = await readEntry(trusted)
    if (!entry.ok) return refused(entry.problem.code, entry.problem.detail, `/keys/${index}${entry.problem.pointer}`)
    const { kid } = entry.value.key
    if (keys.has(kid)) return refused('ERR_TRUST_DUPLICATE_KEY', 'the key occurs twice', `/keys/${index}/jwk`)
    keys.set(kid, entry.value)
  }
  const logs = await readLogs(bundle.logs ?? [])
  return logs.ok ? accepted({ keys, logs: logs.value }) : logs
}

async function readLogs(texts: unknown): Promise<Outcome<readonly NoteVerifier[], TrustCode>> {
  if (!Array.isArray(texts)) return refused('ERR_TRUST_FORM', '`logs` is a list of verifier keys', '/logs')
  if (texts.length === 0) return accepted([])
  // Loaded when a log is trusted: whoever trusts keys alone does not carry the format of notes.
  const { readVerifierKey } = await import('./signed-note.ts')
  const logs: NoteVerifier[] = []
  for (const [index, text] of texts.entries()) {
    const log = await readVerifierKey(String(text))
    if (!log.ok) return refused(log.problem.code, log.problem.detail, `/logs/${index}`)
    logs.push(log.value)
  }
  return accepted(logs)
}

/**
 * What `trust` says of the key `kid` for a summary of `issuer` signed at `issuedAt`.
 *
 * `unknown` not in the bundle · `other-issuer` trusted for somebody else · `outside-window` signed before or after its
 * span · `revoked` no longer trusted, and the summary is not shown to be older (its log index is unknown, or too high) ·
 * else `trusted`. The time is the signer's own word; only a log index can show that a signature is old.
 *
 * @param issuedAt comparable form of `instantKey`
 * @param logIndex index of the summary in the log, or null when that is not proven. Pure; never throws.
 */
export function keyStatus(
  trust: Trust,
  { kid, issuer, issuedAt, logIndex }: { kid: string; issuer: string; issuedAt: string; logIndex: number | null },
): KeyStatus {
  const entry = trust.keys.get(kid)
  if (entry === undefined) return 'unknown'
  if (entry.issuer !== issuer) return 'other-issuer'
  if (issuedAt < entry.notBefore || (entry.notAfter !== null && issuedAt > entry.notAfter)) return 'outside-window'
  const isOlder = entry.notTrustedFromIndex === null || (logIndex !== null && logIndex < entry.notTrustedFromIndex)
  return isOlder ? 'trusted' : 'revoked'
}

/** Why a key was not trusted for a signature. */
export type DistrustCode = 'ERR_KEY_OTHER_ISSUER' | 'ERR_KEY_OUTSIDE_WINDOW' | 'ERR_KEY_REVOKED'

/** What became of step 5 of a verification. */
export interface KeyStep {
  readonly status: KeyStatus
  /** Why it failed; undefined where it did not. */
  readonly failure: Refusal<DistrustCode> | undefined
}

const distrust: Readonly<Partial<Record<KeyStatus, Refusal<DistrustCode>>>> = {
  'other-issuer': {
    code: 'ERR_KEY_OTHER_ISSUER',
    pointer: '/issue/issuer',
    detail: 'the key is trusted for another issuer',
  },
  'outside-window': {
    code: 'ERR_KEY_OUTSIDE_WINDOW',
    pointer: '/issue/issuedAt',
    detail: 'the key was not in use at the time of signing',
  },
  revoked: {
    code: 'ERR_KEY_REVOKED',
    pointer: '',
    detail: 'the key was revoked, and nothing shows that the summary is older',
  },
}

/** Step 5 of a verification, where trust was brought along. Parameters as for `keyStatus`. Pure; never throws. */
export function judgeKey(trust: Trust, signature: Parameters<typeof keyStatus>[1]): KeyStep {
  const status = keyStatus(trust, signature)
  return { status, failure: distrust[status] }
}

async function readEntry(trusted: unknown): Promise<Outcome<TrustEntry, TrustCode>> {
  if (!isJsonObject(trusted)) return refused('ERR_TRUST_FORM', 'a trusted key is a JSON object')
  const { jwk, issuer, notTrustedFromIndex = null } = trusted
  if (typeof issuer !== 'string' || issuer === '') return refused('ERR_TRUST_FORM', 'the issuer is missing', '/issuer')
  if (notTrustedFromIndex !== null && !isIndex(notTrustedFromIndex)) {
    return refused('ERR_TRUST_FORM', 'a log index is a whole number from 0', '/notTrustedFromIndex')
  }
  const window = readWindow(trusted)
  if (!window.ok) return window
  const key = await importPublicKey(jwk)
  if (!key.ok) return refused(key.problem.code, key.problem.detail, `/jwk${key.problem.pointer}`)
  return accepted({ key: key.value, issuer, ...window.value, notTrustedFromIndex })
}

function readWindow(trusted: JsonObject): Outcome<Pick<TrustEntry, 'notBefore' | 'notAfter'>, TrustCode> {
  const notBefore = instantKey(trusted.notBefore)
  if (notBefore === undefined) return refused('ERR_TRUST_WINDOW', 'this is no RFC 3339 time in UTC', '/notBefore')
  if (trusted.notAfter === undefined) return accepted({ notBefore, notAfter: null })
  const notAfter = instantKey(trusted.notAfter)
  if (notAfter === undefined) return refused('ERR_TRUST_WINDOW', 'this is no RFC 3339 time in UTC', '/notAfter')
  if (notAfter < notBefore) return refused('ERR_TRUST_WINDOW', 'the span ends before it begins', '/notAfter')
  return accepted({ notBefore, notAfter })
}

function isIndex(value: unknown): value is number {
  return typeof value === 'number' && Number.isSafeInteger(value) && value >= 0
}
