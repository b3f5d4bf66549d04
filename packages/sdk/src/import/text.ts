/** Text files as the world writes them: UTF-8, UTF-16 of either order, Windows-1252, with or without a mark. */
import { ImportError, problemOf } from './import-error.ts'

/** Encodings that are recognised. */
export type TextEncoding = 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252'

/** A text and the encoding it was found in. */
export interface DecodedText {
  /** The text without a byte order mark. */
  readonly text: string
  /** How its bytes were read. */
  readonly encoding: TextEncoding
}

/** Bytes that are looked at to tell UTF-16 without a mark. */
const LOOKED_AT = 512

/**
 * The text of a file.
 *
 * A byte order mark decides; without one, zero bytes at every second place show UTF-16; else UTF-8 where the bytes
 * are that, and Windows-1252 where they are not.
 *
 * @throws ImportError `ERR_FILE_NOT_TEXT` for bytes that no text has, `ERR_FILE_EMPTY` for none or blanks only.
 */
export function decodeText(bytes: Uint8Array): DecodedText {
  const marked = encodingByMark(bytes) ?? encodingByZeros(bytes)
  const decoded = marked === undefined ? decodeUnmarked(bytes) : { text: decode(bytes, marked), encoding: marked }
  if (decoded.text === undefined || decoded.text.includes('\0')) throw notText()
  if (decoded.text.trim() === '') throw empty()
  return { text: decoded.text, encoding: decoded.encoding }
}

function encodingByMark(bytes: Uint8Array): TextEncoding | undefined {
  const [first, second, third] = bytes
  if (first === 0xff && second === 0xfe) return 'utf-16le'
  if (first === 0xfe && second === 0xff) return 'utf-16be'
  return first === 0xef && second === 0xbb && third === 0xbf ? 'utf-8' : undefined
}

function encodingByZeros(bytes: Uint8Array): TextEncoding | undefined {
  const zeros = [0, 0]
  const looked = Math.min(bytes.length, LOOKED_AT)
  for (let i = 0; i < looked; i++) if (bytes[i] === 0) zeros[i % 2] = (zeros[i % 2] ?? 0) + 1
  const [even = 0, odd = 0] = zeros
  if (odd > looked / 4 && even === 0) return 'utf-16le'
  return even > looked / 4 && odd === 0 ? 'utf-16be' : undefined
}

function decodeUnmarked(bytes: Uint8Array): { readonly text: string | undefined; readonly encoding: TextEncoding } {
  const text = decode(bytes, 'utf-8')
  return text === undefined
    ? { text: decode(bytes, 'windows-1252'), encoding: 'windows-1252' }
    : { text, encoding: 'utf-8' }
}

function decode(bytes: Uint8Array, encoding: TextEncoding): string | undefined {
  try {
    return new TextDecoder(encoding, { fatal: true }).decode(bytes)
  } catch {
    return undefined
  }
}

function notText(): ImportError {
  return new ImportError(
    problemOf({
      code: 'ERR_FILE_NOT_TEXT',
      detail: 'the file is not text in UTF-8, UTF-16 or Windows-1252.',
      fix: "Export the run as CSV; a spreadsheet or a rig's own format cannot be read.",
    }),
  )
}

function empty(): ImportError {
  return new ImportError(
    problemOf({ code: 'ERR_FILE_EMPTY', detail: 'the file is empty.', fix: 'Export the run again.' }),
  )
}
