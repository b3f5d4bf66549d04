/**
 * The compact JWS (RFC 7515 §7.1) of a signed summary, read so that every signed summary has one text only.
 *
 * The signature itself is made and checked by `jose`, which forgives padding, stray bits and doubled names; the envelope
 * check in this file stands before it and forgives nothing.
 */
import { CompactSign, compactVerify } from 'jose'
import { canonicalBase64url } from './base64url.ts'
import type { SigningKey, VerificationKey } from './ed25519-key.ts'
import { SUMMARY_ALG, SUMMARY_TYP } from './header-policy.ts'
import { accepted, type Outcome, refused } from './outcome.ts'
import { parseStrictJson } from './strict-json.ts'

/** Why an envelope was refused. */
export type EnvelopeCode =
  | 'ERR_JWS_TYPE'
  | 'ERR_JWS_LENGTH'
  | 'ERR_JWS_PARTS'
  | 'ERR_JWS_ENCODING'
  | 'ERR_JWS_SIGNATURE_LENGTH'
  | 'ERR_JWS_HEADER_DUPLICATE_NAME'
  | 'ERR_JWS_HEADER_JSON'

/** The three parts of a compact JWS; nothing in it is verified yet. */
export interface Envelope {
  /** The whole text, as it came. */
  readonly text: string
  /** Protected header: JSON of one meaning, any shape. */
  readonly header: unknown
  /** Payload bytes. */
  readonly payload: Uint8Array
}

/** Longest signed summary that is read. [characters] */
export const MAX_JWS_LENGTH = 8_388_608

const SIGNATURE_LENGTH = 64

/**
 * Takes a compact JWS apart.
 *
 * @param jws anything; taken as hostile
 * @returns header and payload of a text with three canonical base64url parts and a header of strict JSON.
 * Pure; never throws.
 */
export function readEnvelope(jws: unknown): Outcome<Envelope, EnvelopeCode> {
  if (typeof jws !== 'string') return refused('ERR_JWS_TYPE', 'a signed summary is text')
  if (jws.length > MAX_JWS_LENGTH) return refused('ERR_JWS_LENGTH', 'the text is too long for a signed summary')
  const parts = jws.split('.', 4)
  if (parts.length !== 3) return refused('ERR_JWS_PARTS', 'a compact JWS has three parts between two full stops')

  const [header, payload, signature] = parts.map(canonicalBase64url)
  if (header === undefined || payload === undefined || signature === undefined) {
    return refused('ERR_JWS_ENCODING', 'a part is not canonical base64url: no padding, no blanks, unused bits zero')
  }
  if (signature.length !== SIGNATURE_LENGTH) {
    return refused('ERR_JWS_SIGNATURE_LENGTH', 'an Ed25519 signature has 64 bytes')
  }
  return withHeader(jws, header, payload)
}

function withHeader(text: string, headerBytes: Uint8Array, payload: Uint8Array): Outcome<Envelope, EnvelopeCode> {
  const header = parseStrictJson(headerBytes)
  if (header.ok) return accepted({ text, header: header.value, payload })
  const { code, detail, pointer } = header.problem
  if (code === 'ERR_JSON_DUPLICATE_NAME') {
    return refused('ERR_JWS_HEADER_DUPLICATE_NAME', `in the header ${detail}`, pointer)
  }
  return refused('ERR_JWS_HEADER_JSON', `the header is not strict JSON: ${detail}`, pointer)
}

/** The compact JWS over exactly these payload bytes. */
export async function signCompact(payload: Uint8Array, key: SigningKey): Promise<string> {
  const header = { alg: SUMMARY_ALG, kid: key.kid, typ: SUMMARY_TYP }
  return new CompactSign(payload).setProtectedHeader(header).sign(key.cryptoKey)
}

/** Whether the key signed this text. The envelope and the header must have been checked before. Never throws. */
export async function isSignedBy(jws: string, key: VerificationKey): Promise<boolean> {
  try {
    await compactVerify(jws, key.cryptoKey, { algorithms: [SUMMARY_ALG] })
    return true
  } catch {
    return false
  }
}
