/**
 * Signed notes (C2SP signed-note v1): a text, a blank line, and one line per signature.
 *
 *     text, ending in a line feed
 *
 *     — name base64(key ID ‖ signature)
 *
 * The key ID is the first four bytes of SHA-256(name ‖ 0x0A ‖ 0x01 ‖ public key); 0x01 stands for Ed25519.
 * The text is separated from the signatures by the last blank line. Signatures of unknown keys are passed over.
 */
import { base64Bytes, base64Text } from '../contract/channel-values.ts'
import { canonicalBase64url, toBase64url } from './base64url.ts'
import {
  importPublicKey,
  type KeyCode,
  type SigningKey,
  signBytes,
  type VerificationKey,
  verifyBytes,
} from './ed25519-key.ts'
import { accepted, type Outcome, refused } from './outcome.ts'
import { sha256 } from './sha256.ts'

/** Why a note or a verifier key was refused. */
export type NoteCode =
  | 'ERR_NOTE_FORM'
  | 'ERR_NOTE_TOO_MANY_SIGNATURES'
  | 'ERR_NOTE_SIGNATURE_BROKEN'
  | 'ERR_NOTE_NO_KNOWN_SIGNATURE'
  | 'ERR_NOTE_KEY_FORM'
  | 'ERR_NOTE_KEY_ID'
  | KeyCode

/** One signature line, taken apart. */
export interface NoteSignature {
  /** Name of the key. */
  readonly name: string
  /** Key ID, 8 lower-case hex digits. */
  readonly keyId: string
  /** The signature. */
  readonly signature: Uint8Array<ArrayBuffer>
}

/** A note, taken apart; nothing in it is verified yet. */
export interface SignedNote {
  /** The text with its last line feed. */
  readonly text: string
  /** The signatures, in order. */
  readonly signatures: readonly NoteSignature[]
}

/** A key that may sign notes. */
export interface NoteVerifier {
  /** Name of the key. */
  readonly name: string
  /** Key ID, 8 lower-case hex digits. */
  readonly keyId: string
  /** The key. */
  readonly key: VerificationKey
}

/** A note of which at least one signature verified. */
export interface VerifiedNote {
  /** The text that was signed. */
  readonly text: string
  /** The known keys that signed it, each once. */
  readonly signers: readonly NoteVerifier[]
}

const SIGNATURE_LINE = /^— (\S+) ([A-Za-z0-9+/]+={0,2})$/u
const KEY_NAME = /^[^\s+]+$/u
/** Control characters without the line feed and without U+007F to U+009F, which a note may hold. */
const FORBIDDEN_CONTROL = /[^\P{Cc}\n\u007f-\u009f]/u
const ED25519 = 1
const KEY_ID_LENGTH = 4
const MAX_SIGNATURES = 64

const encoder = new TextEncoder()
const decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true })

/** Takes a signed note apart. Taken as hostile; never throws. */
export function parseNote(bytes: Uint8Array): Outcome<SignedNote, NoteCode> {
  const note = decoded(bytes)
  if (note === undefined || FORBIDDEN_CONTROL.test(note)) {
    return refused('ERR_NOTE_FORM', 'a note is UTF-8 without control characters other than line feeds')
  }
  const split = note.lastIndexOf('\n\n')
  if (split === -1 || !note.endsWith('\n')) {
    return refused('ERR_NOTE_FORM', 'a note is a text, a blank line and signature lines')
  }
  const lines = note.slice(split + 2, -1).split('\n')
  if (lines.length > MAX_SIGNATURES) {
    return refused('ERR_NOTE_TOO_MANY_SIGNATURES', `more than ${MAX_SIGNATURES} signatures are not read`)
  }
  const signatures = lines.map(readSignature).filter((signature) => signature !== undefined)
  if (signatures.length < lines.length) return refused('ERR_NOTE_FORM', 'a signature line is malformed')
  return accepted({ text: note.slice(0, split + 1), signatures })
}

/**
 * Verifies a signed note.
 *
 * @param verifiers the keys the reader knows
 * @returns the text, when at least one known key signed it and no signature under the name and ID of a known key is
 * wrong. Signatures of unknown keys are passed over. Never throws.
 */
export async function verifyNote(
  bytes: Uint8Array,
  verifiers: readonly NoteVerifier[],
): Promise<Outcome<VerifiedNote, NoteCode>> {
  const note = parseNote(bytes)
  if (!note.ok) return note
  const { text, signatures } = note.value
  const signers = new Set<NoteVerifier>()
  for (const { name, keyId, signature } of signatures) {
    const verifier = verifiers.find((known) => known.name === name && known.keyId === keyId)
    if (verifier === undefined) continue
    if (!(await verifyBytes(verifier.key, signature, encoder.encode(text)))) {
      return refused('ERR_NOTE_SIGNATURE_BROKEN', 'the text is not what a known key signed')
    }
    signers.add(verifier)
  }
  if (signers.size === 0) return refused('ERR_NOTE_NO_KNOWN_SIGNATURE', 'no known key signed this note')
  return accepted({ text, signers: [...signers] })
}

/**
 * The signed note of a text by one key.
 *
 * @param text ends in a line feed, and holds no other control character
 * @param name name of the key, without blanks and plus
 * @throws RangeError when text or name cannot stand in a note
 */
export async function signNote(text: string, name: string, key: SigningKey): Promise<string> {
  if (!text.endsWith('\n') || !KEY_NAME.test(name)) throw new RangeError('the text or the name cannot stand in a note')
  const signature = await signBytes(key, encoder.encode(text))
  const id = await keyIdOf(name, rawKey(key.jwk.x))
  const note = `${text}\n— ${name} ${base64Text(new Uint8Array([...id, ...signature]))}\n`
  if (!parseNote(encoder.encode(note)).ok) throw new RangeError('the text cannot stand in a note')
  return note
}

/** The verifier key of a name and a public key, as operators hand it out: `name+keyid+base64(0x01 ‖ public key)`. */
export async function verifierKeyText(name: string, { jwk }: Pick<VerificationKey, 'jwk'>): Promise<string> {
  const raw = rawKey(jwk.x)
  return `${name}+${hexOf(await keyIdOf(name, raw))}+${base64Text(new Uint8Array([ED25519, ...raw]))}`
}

/** Reads a verifier key; refuses an ID that is not that of the name and the key. Taken as hostile; never throws. */
export async function readVerifierKey(text: string): Promise<Outcome<NoteVerifier, NoteCode>> {
  const [, name, keyId, encoded] = /^([^\s+]+)\+([0-9a-f]{8})\+([A-Za-z0-9+/=]+)$/u.exec(text) ?? []
  const [type, ...raw] = encoded === undefined ? [] : (base64Bytes(encoded) ?? [])
  if (name === undefined || keyId === undefined || type !== ED25519) {
    return refused('ERR_NOTE_KEY_FORM', 'a verifier key is a name, 8 hex digits and an Ed25519 key, joined by plus')
  }
  const key = await importPublicKey({ kty: 'OKP', crv: 'Ed25519', x: toBase64url(Uint8Array.from(raw)) })
  if (!key.ok) return key
  if (hexOf(await keyIdOf(name, Uint8Array.from(raw))) !== keyId) {
    return refused('ERR_NOTE_KEY_ID', 'the key ID is not that of the name and the key')
  }
  return accepted({ name, keyId, key: key.value })
}

function decoded(bytes: Uint8Array): string | undefined {
  try {
    return decoder.decode(bytes)
  } catch {
    return undefined
  }
}

function readSignature(line: string): NoteSignature | undefined {
  const [, name, encoded] = SIGNATURE_LINE.exec(line) ?? []
  if (name === undefined || encoded === undefined || !KEY_NAME.test(name)) return undefined
  const bytes = base64Bytes(encoded)
  if (bytes === undefined || bytes.length <= KEY_ID_LENGTH) return undefined
  return { name, keyId: hexOf(bytes.slice(0, KEY_ID_LENGTH)), signature: bytes.slice(KEY_ID_LENGTH) }
}

async function keyIdOf(name: string, raw: Uint8Array): Promise<Uint8Array> {
  const digest = await sha256(new Uint8Array([...encoder.encode(`${name}\n`), ED25519, ...raw]))
  return digest.slice(0, KEY_ID_LENGTH)
}

function rawKey(x: string): Uint8Array {
  return canonicalBase64url(x) ?? new Uint8Array()
}

function hexOf(bytes: Uint8Array): string {
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('')
}
