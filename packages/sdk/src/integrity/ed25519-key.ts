/**
 * Ed25519 keys as JSON Web Keys (RFC 8037), let in only when every verifier must agree about their signatures.
 *
 * A point of small order verifies almost any signature, and a point with two encodings has two thumbprints. Both are
 * refused at the door, because the signature checks of the platforms let some of them through.
 */
import { canonicalBase64url, toBase64url } from './base64url.ts'
import { canonicalJsonBytes } from './canonical-json.ts'
import { isJsonObject, type JsonObject } from './json-object.ts'
import { accepted, type Outcome, refused } from './outcome.ts'
import { sha256 } from './sha256.ts'

/** Why a key was refused. */
export type KeyCode =
  | 'ERR_KEY_FORM'
  | 'ERR_KEY_TYPE'
  | 'ERR_KEY_PRIVATE_PART'
  | 'ERR_KEY_NO_PRIVATE_PART'
  | 'ERR_KEY_LENGTH'
  | 'ERR_KEY_NON_CANONICAL'
  | 'ERR_KEY_SMALL_ORDER'
  | 'ERR_KEY_USE'
  | 'ERR_KEY_ID'
  | 'ERR_KEY_MISMATCH'
  | 'ERR_KEY_IMPORT'

/** A public Ed25519 key as published. Members not named here are ignored. */
export interface PublicJwk {
  /** Octet key pair. */
  readonly kty: 'OKP'
  /** Curve. */
  readonly crv: 'Ed25519'
  /** Public key, 32 bytes, base64url without padding. */
  readonly x: string
  /** RFC 7638 thumbprint of the key; refused when it is anything else. */
  readonly kid?: string
  /** Purpose. */
  readonly use?: 'sig'
  /** Algorithm. */
  readonly alg?: 'Ed25519'
  /** Operations; must name `verify` when present. */
  readonly key_ops?: readonly string[]
}

/** A public key that passed the import. */
export interface VerificationKey {
  /** RFC 7638 SHA-256 thumbprint, base64url. */
  readonly kid: string
  /** The key as it may be published. */
  readonly jwk: PublicJwk
  /** The key as WebCrypto holds it. */
  readonly cryptoKey: CryptoKey
}

/** A private key that passed the import, with its public side. */
export interface SigningKey {
  /** RFC 7638 SHA-256 thumbprint of the public key, base64url. */
  readonly kid: string
  /** The public key as it may be published. */
  readonly jwk: PublicJwk
  /** The private key as WebCrypto holds it, not extractable. */
  readonly cryptoKey: CryptoKey
}

const KEY_LENGTH = 32
const SIGNATURE_LENGTH = 64

/** y-coordinates of the eight points whose order divides 8, sign bit off, little-endian hex. Tested by arithmetic. */
const smallOrderOrdinates: readonly string[] = [
  '0000000000000000000000000000000000000000000000000000000000000000',
  '0100000000000000000000000000000000000000000000000000000000000000',
  'ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f',
  '26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05',
  'c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a',
]

/**
 * Imports a public key.
 *
 * @param jwk a JSON value, taken as hostile
 * @returns the key with its thumbprint, or a closed code with the pointer of the member. Never throws.
 *
 * Source: RFC 8037 §2, RFC 8032 §5.1.3, RFC 7638. Tested: tests/published/cctv-ed25519.test.ts.
 */
export async function importPublicKey(jwk: unknown): Promise<Outcome<VerificationKey, KeyCode>> {
  if (!isJsonObject(jwk)) return refused('ERR_KEY_FORM', 'a key is a JSON object')
  if ('d' in jwk) return refused('ERR_KEY_PRIVATE_PART', 'this holds a private key; publish the public key only', '/d')
  const point = await readPoint(jwk, 'verify')
  if (!point.ok) return point
  const cryptoKey = await imported(asJwk(point.value.x), 'verify')
  if (cryptoKey === undefined) return refused('ERR_KEY_IMPORT', 'this platform refuses the key', '/x')
  return accepted({ kid: point.value.kid, jwk: publishable(point.value), cryptoKey })
}

/**
 * Imports a private key, and refuses it when its public part belongs to another one.
 *
 * @param jwk a JSON value with the private part `d`
 * @returns the key with its thumbprint, or a closed code with the pointer of the member. Never throws.
 */
export async function importSigningKey(jwk: unknown): Promise<Outcome<SigningKey, KeyCode>> {
  if (!isJsonObject(jwk)) return refused('ERR_KEY_FORM', 'a key is a JSON object')
  const { d } = jwk
  if (typeof d !== 'string') return refused('ERR_KEY_NO_PRIVATE_PART', 'the private part is missing', '/d')
  if (canonicalBase64url(d)?.length !== KEY_LENGTH) {
    return refused('ERR_KEY_LENGTH', 'the private part is not 32 bytes', '/d')
  }
  const point = await readPoint(jwk, 'sign')
  if (!point.ok) return point

  const cryptoKey = await imported({ ...asJwk(point.value.x), d }, 'sign')
  const publicKey = await imported(asJwk(point.value.x), 'verify')
  if (cryptoKey === undefined || publicKey === undefined || !(await isPair(cryptoKey, publicKey))) {
    return refused('ERR_KEY_MISMATCH', 'the public part is not that of the private part', '/x')
  }
  return accepted({ kid: point.value.kid, jwk: publishable(point.value), cryptoKey })
}

/**
 * RFC 7638 SHA-256 thumbprint of a key, base64url.
 *
 * RFC 7638 §3.3 asks for the required members without blanks, sorted by name: that is their RFC 8785 form.
 *
 * @param members the required members of the key's type and no others: `crv`, `kty`, `x` for an octet key pair
 */
export async function jwkThumbprint(members: Readonly<Record<string, string>>): Promise<string> {
  return toBase64url(await sha256(canonicalJsonBytes(members)))
}

/** Signs bytes; Ed25519 is deterministic, so the same key and bytes give the same 64 bytes. */
export async function signBytes(key: SigningKey, message: Uint8Array<ArrayBuffer>): Promise<Uint8Array<ArrayBuffer>> {
  return new Uint8Array(await crypto.subtle.sign('Ed25519', key.cryptoKey, message))
}

/** Whether `signature` is the key owner's signature of exactly these bytes. Never throws. */
export async function verifyBytes(
  key: VerificationKey,
  signature: Uint8Array<ArrayBuffer>,
  message: Uint8Array<ArrayBuffer>,
): Promise<boolean> {
  if (signature.length !== SIGNATURE_LENGTH) return false
  return crypto.subtle.verify('Ed25519', key.cryptoKey, signature, message)
}

type OkpJwk = Pick<PublicJwk, 'kty' | 'crv' | 'x'> & { readonly d?: string }

interface Point {
  readonly x: string
  readonly kid: string
}

async function readPoint(jwk: JsonObject, operation: 'sign' | 'verify'): Promise<Outcome<Point, KeyCode>> {
  const { kty, crv, x, kid } = jwk
  if (kty !== 'OKP' || crv !== 'Ed25519') return refused('ERR_KEY_TYPE', 'only OKP keys on Ed25519 are taken', '/kty')
  if (typeof x !== 'string') return refused('ERR_KEY_FORM', 'the public part is missing', '/x')
  const bytes = canonicalBase64url(x)
  if (bytes === undefined) return refused('ERR_KEY_FORM', 'the public part is not canonical base64url', '/x')
  const problem = problemOfPoint(bytes) ?? problemOfUse(jwk, operation)
  if (problem !== undefined) return problem
  const thumbprint = await jwkThumbprint({ crv, kty, x })
  if (kid !== undefined && kid !== thumbprint) {
    return refused('ERR_KEY_ID', 'the kid is not the RFC 7638 thumbprint of the key', '/kid')
  }
  return accepted({ x, kid: thumbprint })
}

function problemOfPoint(bytes: Uint8Array): Outcome<never, KeyCode> | undefined {
  if (bytes.length !== KEY_LENGTH) return refused('ERR_KEY_LENGTH', 'the public part is not 32 bytes', '/x')
  const ordinate = bytes.slice()
  ordinate[KEY_LENGTH - 1] = (bytes[KEY_LENGTH - 1] ?? 0) & 0x7f
  if (isFieldOrderOrMore(ordinate)) {
    return refused('ERR_KEY_NON_CANONICAL', 'the public part is not the canonical encoding of a point', '/x')
  }
  if (smallOrderOrdinates.includes(hexOf(ordinate))) {
    return refused('ERR_KEY_SMALL_ORDER', 'the public part is a point of small order: anyone can sign for it', '/x')
  }
  return undefined
}

/** Whether a little-endian 255-bit number is at or above p = 2^255 - 19 (RFC 8032 §5.1.3, step 1). */
function isFieldOrderOrMore(ordinate: Uint8Array): boolean {
  const [lowest = 0, ...others] = ordinate
  const highest = others.pop()
  return lowest >= 0xed && highest === 0x7f && others.every((byte) => byte === 0xff)
}

function problemOfUse(
  { use, alg, key_ops }: JsonObject,
  operation: 'sign' | 'verify',
): Outcome<never, KeyCode> | undefined {
  if (use !== undefined && use !== 'sig') return refused('ERR_KEY_USE', 'the key is not for signatures', '/use')
  if (alg !== undefined && alg !== 'Ed25519') return refused('ERR_KEY_USE', 'the key is for another algorithm', '/alg')
  const allows = key_ops === undefined || (Array.isArray(key_ops) && key_ops.includes(operation))
  return allows ? undefined : refused('ERR_KEY_USE', `the key is not allowed to ${operation}`, '/key_ops')
}

async function isPair(privateKey: CryptoKey, publicKey: CryptoKey): Promise<boolean> {
  const probe = new TextEncoder().encode('fairpull-key-pair-v1\n')
  const signature = await crypto.subtle.sign('Ed25519', privateKey, probe)
  return crypto.subtle.verify('Ed25519', publicKey, signature, probe)
}

function publishable({ x, kid }: Point): PublicJwk {
  return { kty: 'OKP', crv: 'Ed25519', x, kid, use: 'sig', alg: 'Ed25519' }
}

function asJwk(x: string): OkpJwk {
  return { kty: 'OKP', crv: 'Ed25519', x }
}

async function imported(jwk: OkpJwk, operation: 'sign' | 'verify'): Promise<CryptoKey | undefined> {
  try {
    return await crypto.subtle.importKey('jwk', jwk, 'Ed25519', operation === 'verify', [operation])
  } catch {
    return undefined
  }
}

function hexOf(bytes: Uint8Array): string {
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('')
}
