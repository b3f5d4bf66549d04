/**
 * The two written forms of a channel, and the numbers they stand for.
 *
 * A channel is a JSON array or base64 (RFC 4648 §4, padded) of little-endian IEEE 754 float64. Both forms accept the
 * same numbers: finite, below 2^53 in magnitude, no negative zero. Each list of bytes has one base64 text only.
 */
import type { ChannelValues } from './run.ts'

/** Why the values of a channel were refused. */
export type ChannelValuesCode =
  | 'ERR_CHANNEL_FORM'
  | 'ERR_CHANNEL_BASE64'
  | 'ERR_CHANNEL_LENGTH'
  | 'ERR_CHANNEL_NOT_FINITE'
  | 'ERR_CHANNEL_NEGATIVE_ZERO'
  | 'ERR_CHANNEL_TOO_LARGE'

/** One refusal; `pointer` is relative to the channel. */
export interface ChannelValuesProblem {
  /** JSON Pointer inside the channel. */
  readonly pointer: string
  /** Stable code. */
  readonly code: ChannelValuesCode
  /** What is wrong and how to put it right. */
  readonly detail: string
}

/** The numbers of a channel, or why there are none. */
export type ChannelValuesOutcome =
  | { readonly ok: true; readonly values: Float64Array }
  | { readonly ok: false; readonly problem: ChannelValuesProblem }

const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/'
const PADDING = '='
const FLOAT64_BYTES = 8
const NOT_IN_ALPHABET = 64

/** Characters handed to one call: well below the number of arguments that every engine takes. */
const TEXT_CHUNK = 8192

const digitCodes = Uint8Array.from(ALPHABET, (digit) => digit.charCodeAt(0))
const sextets = new Uint8Array(128).fill(NOT_IN_ALPHABET)
for (let value = 0; value < ALPHABET.length; value += 1) sextets[ALPHABET.charCodeAt(value)] = value

/**
 * The numbers of a channel in either written form.
 *
 * @param channel a channel with exactly one of `values` and `base64`; other members are not looked at
 * @returns one number per sample, in the order written; a fresh array. Pure; never throws.
 */
export function readChannelValues(channel: ChannelValues): ChannelValuesOutcome {
  const { values, base64 } = channel
  if (values === undefined && typeof base64 === 'string') return decodeChannelValues(base64)
  if (base64 === undefined && Array.isArray(values)) return checked(numbersOf(values), '/values')
  return refused(
    '',
    'ERR_CHANNEL_FORM',
    'give the values as an array `values` or as text `base64`, exactly one of them',
  )
}

/**
 * The numbers behind a base64 text of little-endian float64.
 *
 * @param base64 standard alphabet, padded, no blanks, unused bits zero; a multiple of 8 bytes
 * @returns one number per 8 bytes; a fresh array. Pure; never throws.
 */
export function decodeChannelValues(base64: string): ChannelValuesOutcome {
  const bytes = base64Bytes(base64)
  if (bytes === undefined) {
    return refused('/base64', 'ERR_CHANNEL_BASE64', 'this is not padded standard base64 with its unused bits zero')
  }
  if (bytes.length % FLOAT64_BYTES !== 0) {
    return refused('/base64', 'ERR_CHANNEL_LENGTH', `${bytes.length} bytes are not a whole number of 8-byte float64`)
  }
  return checked(float64From(bytes), '/base64')
}

/**
 * The base64 text of numbers as little-endian float64; `decodeChannelValues` gives the same numbers back.
 *
 * @param values numbers that a channel may hold. Pure; never throws, and does not check them.
 */
export function encodeChannelValues(values: ArrayLike<number>): string {
  return base64Text(float64Bytes(values))
}

/** Numbers as little-endian float64, 8 bytes each, on a machine of either byte order. Pure. */
export function float64Bytes(values: ArrayLike<number>): Uint8Array<ArrayBuffer> {
  const view = new DataView(new ArrayBuffer(values.length * FLOAT64_BYTES))
  for (let index = 0; index < values.length; index += 1) {
    view.setFloat64(index * FLOAT64_BYTES, values[index] ?? Number.NaN, true)
  }
  return new Uint8Array(view.buffer)
}

/** Elements as numbers; whatever is no number becomes NaN, which `checked` refuses. */
function numbersOf(elements: readonly unknown[]): Float64Array {
  const values = new Float64Array(elements.length)
  for (let index = 0; index < elements.length; index += 1) {
    const element = elements[index]
    values[index] = typeof element === 'number' ? element : Number.NaN
  }
  return values
}

function float64From(bytes: Uint8Array): Float64Array {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const values = new Float64Array(bytes.length / FLOAT64_BYTES)
  for (let index = 0; index < values.length; index += 1) values[index] = view.getFloat64(index * FLOAT64_BYTES, true)
  return values
}

function checked(values: Float64Array, form: '/values' | '/base64'): ChannelValuesOutcome {
  for (let index = 0; index < values.length; index += 1) {
    const value = values[index] ?? Number.NaN
    const isOrdinary = Math.abs(value) <= Number.MAX_SAFE_INTEGER && (value !== 0 || 1 / value > 0)
    if (!isOrdinary) return refusedNumber(value, index, form)
  }
  return { ok: true, values }
}

function refusedNumber(value: number, index: number, form: '/values' | '/base64'): ChannelValuesOutcome {
  const pointer = form === '/values' ? `/values/${index}` : form
  const where = `value ${index + 1}`
  if (!Number.isFinite(value)) return refused(pointer, 'ERR_CHANNEL_NOT_FINITE', `${where} is not a finite number`)
  if (value === 0) return refused(pointer, 'ERR_CHANNEL_NEGATIVE_ZERO', `${where} is a negative zero; write 0`)
  return refused(pointer, 'ERR_CHANNEL_TOO_LARGE', `${where} is 2^53 or more in magnitude; use a larger unit`)
}

function refused(pointer: string, code: ChannelValuesCode, detail: string): ChannelValuesOutcome {
  return { ok: false, problem: { pointer, code, detail } }
}

/** The padded standard base64 text of bytes (RFC 4648 §4). Pure. */
export function base64Text(bytes: Uint8Array): string {
  const digits = digitsOf(bytes)
  let text = ''
  for (let at = 0; at < digits.length; at += TEXT_CHUNK) {
    text += String.fromCharCode(...digits.subarray(at, at + TEXT_CHUNK))
  }
  return text
}

/** The bytes of a padded standard base64 text, or undefined when it is not the one canonical text of any bytes. Pure. */
export function base64Bytes(base64: string): Uint8Array<ArrayBuffer> | undefined {
  if (base64.length % 4 !== 0) return undefined
  const padding = paddingLength(base64)
  const bytes = new Uint8Array((base64.length / 4) * 3 - padding)
  const digits = base64.length - padding
  let seen = 0
  let bits = 0
  let written = 0
  for (let at = 0; at < digits; at += 1) {
    const sextet = sextets[base64.charCodeAt(at)] ?? NOT_IN_ALPHABET
    seen |= sextet
    bits = (bits << 6) | sextet
    if ((at & 3) === 3) {
      bytes[written] = bits >> 16
      bytes[written + 1] = bits >> 8
      bytes[written + 2] = bits
      written += 3
      bits = 0
    }
  }
  if ((seen & NOT_IN_ALPHABET) !== 0) return undefined
  return endsCleanly(bits, padding, bytes, written) ? bytes : undefined
}

/** Writes the bytes of the last, padded group; false when its unused bits are not zero. */
function endsCleanly(bits: number, padding: number, bytes: Uint8Array, written: number): boolean {
  if (padding === 0) return true
  if (padding === 2) {
    bytes[written] = bits >> 4
    return (bits & 0x0f) === 0
  }
  bytes[written] = bits >> 10
  bytes[written + 1] = bits >> 2
  return (bits & 0x03) === 0
}

function paddingLength(base64: string): number {
  if (base64.endsWith('==')) return 2
  return base64.endsWith(PADDING) ? 1 : 0
}

/** The base64 digits of bytes as character codes, padded. */
function digitsOf(bytes: Uint8Array): Uint8Array {
  const digits = new Uint8Array(Math.ceil(bytes.length / 3) * 4)
  let written = 0
  for (let at = 0; at < bytes.length; at += 3) {
    const bits = ((bytes[at] ?? 0) << 16) | ((bytes[at + 1] ?? 0) << 8) | (bytes[at + 2] ?? 0)
    digits[written] = digitCodes[bits >> 18] ?? 0
    digits[written + 1] = digitCodes[(bits >> 12) & 63] ?? 0
    digits[written + 2] = digitCodes[(bits >> 6) & 63] ?? 0
    digits[written + 3] = digitCodes[bits & 63] ?? 0
    written += 4
  }
  const padding = digits.length * 0.75 - bytes.length
  return digits.fill(PADDING.charCodeAt(0), digits.length - padding)
}
