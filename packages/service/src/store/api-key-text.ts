import { createHash, randomBytes } from 'node:crypto'

/** Digits, capitals, small letters: no character that a shell, a URL or a double click treats specially. */
const ALPHABET = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz'

/** Characters of the visible prefix: 47 bit. */
const PREFIX_LENGTH = 8

/** Characters of the random part of the secret: 190 bit. */
const RANDOM_LENGTH = 32

/** Characters of the checksum: 2³² values fit into six. */
const CHECKSUM_LENGTH = 6

const FORM = new RegExp(`^fp_([0-9A-Za-z]{${PREFIX_LENGTH}})_([0-9A-Za-z]{${RANDOM_LENGTH + CHECKSUM_LENGTH}})$`)

/** An API key in parts. */
export interface ApiKeyText {
  /** The whole key as its holder sends it: `fp_<prefix>_<secret>`. */
  readonly text: string
  /** Identifies the key, may be shown and logged. */
  readonly prefix: string
  /** SHA-256 of the secret part, 32 bytes; all that is kept of it. */
  readonly secretDigest: Uint8Array
}

/** A fresh API key from the system's random source. The only moment at which its text exists here. */
export function createApiKey(): ApiKeyText {
  const prefix = randomText(PREFIX_LENGTH)
  const random = randomText(RANDOM_LENGTH)
  const secret = random + checksum(prefix, random)
  return { text: `fp_${prefix}_${secret}`, prefix, secretDigest: digest(secret) }
}

/**
 * Reads an API key as sent; undefined when it is none.
 *
 * The secret ends with a checksum over prefix and secret, so that a mistyped or cut key is told apart without
 * asking the store, and a scanner can recognise a leaked one. The checksum is no secret and protects nothing.
 */
export function parseApiKey(text: string): ApiKeyText | undefined {
  const [, prefix, secret] = FORM.exec(text) ?? []
  if (prefix === undefined || secret === undefined) return undefined
  const random = secret.slice(0, RANDOM_LENGTH)
  if (secret.slice(RANDOM_LENGTH) !== checksum(prefix, random)) return undefined
  return { text, prefix, secretDigest: digest(secret) }
}

/** Bytes at or above the largest multiple of 62 are drawn again: every character is equally likely. */
function randomText(length: number): string {
  const limit = 256 - (256 % ALPHABET.length)
  let text = ''
  while (text.length < length) {
    for (const byte of randomBytes(length)) {
      if (byte < limit && text.length < length) text += ALPHABET.charAt(byte % ALPHABET.length)
    }
  }
  return text
}

/** First 32 bits of SHA-256 over `fp_<prefix>_<random>`, in base 62 with six digits. */
function checksum(prefix: string, random: string): string {
  let rest = createHash('sha256').update(`fp_${prefix}_${random}`).digest().readUInt32BE(0)
  let text = ''
  while (text.length < CHECKSUM_LENGTH) {
    text = ALPHABET.charAt(rest % ALPHABET.length) + text
    rest = Math.floor(rest / ALPHABET.length)
  }
  return text
}

function digest(secret: string): Uint8Array {
  return createHash('sha256').update(secret, 'ascii').digest()
}
