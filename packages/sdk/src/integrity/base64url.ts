import { base64url } from 'jose'

const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_'

/** Bits of the last digit that stand for nothing, by the number of digits after the last whole group of four. */
const unusedBits: readonly (number | undefined)[] = [0, undefined, 0b1111, 0b11]

/**
 * The bytes behind a base64url text (RFC 4648 §5, no padding), or undefined when the text is not the one canonical text
 * of any bytes: a character outside the alphabet, padding, blanks, an impossible length, or unused bits that are not 0.
 * Pure; never throws.
 */
export function canonicalBase64url(text: string): Uint8Array | undefined {
  const unused = unusedBits[text.length % 4]
  if (unused === undefined || !/^[A-Za-z0-9_-]*$/.test(text)) return undefined
  const isCanonical = (ALPHABET.indexOf(text.slice(-1)) & unused) === 0
  return isCanonical ? base64url.decode(text) : undefined
}

/** The base64url text of bytes, without padding. */
export function toBase64url(bytes: Uint8Array): string {
  return base64url.encode(bytes)
}
