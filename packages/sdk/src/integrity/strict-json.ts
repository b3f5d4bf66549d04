/**
 * Reading JSON text of which only one meaning is possible.
 *
 * `JSON.parse` takes the last of two equal names, rounds 2^53 + 1, reads 1e400 as Infinity, keeps half a surrogate
 * pair and lets `__proto__` in. Two readers of one signed text may then see two documents. This reader refuses every
 * such text: one scan that builds nothing decides, then `JSON.parse` builds the value.
 *
 * Basis: RFC 8259, RFC 7493 (I-JSON) §2.
 */
import { type JsonCode, JsonFault } from './json-fault.ts'
import { notFinite, scanNumber } from './json-number.ts'
import { jsonPointer, type PathStep } from './json-pointer.ts'
import { scanString } from './json-string.ts'
import { accepted, type Outcome, refused } from './outcome.ts'

/** Containers inside each other that are still read; the root container counts as one. */
export const MAX_JSON_DEPTH = 32

/** Options of `parseStrictJson`. */
export interface StrictJsonOptions {
  /** Deepest nesting accepted. [1], whole, at least 0; default `MAX_JSON_DEPTH` */
  readonly maxDepth?: number
  /** Most objects, arrays and names accepted: what costs a reader far more than the bytes it is written in. [1]; no limit when absent */
  readonly maxParts?: number
}

interface Scan {
  readonly text: string
  readonly maxDepth: number
  readonly maxParts: number
  /** Objects, arrays and names so far. */
  readonly seen: { parts: number }
  readonly path: PathStep[]
  /** No escape and no half surrogate pair anywhere: a string ends at the next quotation mark. */
  readonly isPlain: boolean
}

const BYTE_ORDER_MARK = 0xfeff
const decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true })

/**
 * The value of a JSON text, or the first thing that makes the text unfit, with a JSON Pointer to it.
 *
 * Refuses: bad UTF-8, a byte order mark, text after the value, nesting beyond `maxDepth`, more than `maxParts`, two equal names in one
 * object (escapes resolved), the name `__proto__`, half a surrogate pair (raw or escaped), NaN and Infinity, numbers
 * that overflow or underflow float64, negative zero, numbers of magnitude 2^53 and above, and whatever RFC 8259 does.
 *
 * @param source UTF-8 bytes, or text already decoded
 * @returns the value, made of plain objects, arrays, strings, numbers, booleans and null. Pure; never throws.
 */
export function parseStrictJson(
  source: string | Uint8Array,
  options: StrictJsonOptions = {},
): Outcome<unknown, JsonCode> {
  const text = typeof source === 'string' ? source : decoded(source)
  if (text === undefined) return refused('ERR_JSON_ENCODING', 'the bytes are not UTF-8')
  if (text.charCodeAt(0) === BYTE_ORDER_MARK) return refused('ERR_JSON_BOM', 'the text begins with a byte order mark')

  const { maxDepth = MAX_JSON_DEPTH, maxParts = Number.POSITIVE_INFINITY } = options
  const isPlain = typeof source !== 'string' && !text.includes('\\')
  return scanned({ text, maxDepth, maxParts, seen: { parts: 0 }, path: [], isPlain })
}

function scanned(scan: Scan): Outcome<unknown, JsonCode> {
  try {
    scanDocument(scan)
    return accepted(JSON.parse(scan.text))
  } catch (fault) {
    if (fault instanceof JsonFault) return refused(fault.code, fault.message, jsonPointer(scan.path))
    // The plain scan does not look inside strings; a full one says where the control character is.
    if (scan.isPlain) return scanned({ ...scan, seen: { parts: 0 }, path: [], isPlain: false })
    return refused('ERR_JSON_SYNTAX', 'this is not JSON')
  }
}

function decoded(bytes: Uint8Array): string | undefined {
  try {
    return decoder.decode(bytes)
  } catch {
    return undefined
  }
}

function scanDocument(scan: Scan): void {
  const end = skipBlanks(scan.text, scanValue(scan, skipBlanks(scan.text, 0), 0))
  if (end < scan.text.length) throw new JsonFault('ERR_JSON_TRAILING_TEXT', 'there is text after the value')
}

/** Position after the value that begins at `at`. */
function scanValue(scan: Scan, at: number, depth: number): number {
  const code = scan.text.charCodeAt(at)
  if (code === 0x7b) return scanObject(scan, at, depth + 1)
  if (code === 0x5b) return scanArray(scan, at, depth + 1)
  if (code === 0x22) return stringEnd(scan, at)
  if (code === 0x2d || (code >= 0x30 && code <= 0x39)) return scanNumber(scan.text, at)
  return scanWord(scan.text, at)
}

/** Position after the string that begins at `at`. */
function stringEnd(scan: Scan, at: number): number {
  if (!scan.isPlain) return scanString(scan.text, at)
  const close = scan.text.indexOf('"', at + 1)
  if (close === -1) throw new JsonFault('ERR_JSON_SYNTAX', 'a string does not end')
  return close + 1
}

function scanArray(scan: Scan, start: number, depth: number): number {
  const { text, path } = scan
  enter(scan, depth)
  let at = skipBlanks(text, start + 1)
  if (text.charCodeAt(at) === 0x5d) return at + 1
  for (let index = 0; ; index += 1) {
    path[depth - 1] = index
    at = skipBlanks(text, scanValue(scan, at, depth))
    const code = text.charCodeAt(at)
    if (code === 0x5d) break
    if (code !== 0x2c) throw new JsonFault('ERR_JSON_SYNTAX', 'a comma or the end of the array is missing')
    at = skipBlanks(text, at + 1)
  }
  path.length = depth - 1
  return at + 1
}

function scanObject(scan: Scan, start: number, depth: number): number {
  const { text, path } = scan
  enter(scan, depth)
  let at = skipBlanks(text, start + 1)
  if (text.charCodeAt(at) === 0x7d) return at + 1
  const names = new Set<string>()
  for (;;) {
    path.length = depth - 1
    at = scanName(scan, at, depth, names)
    at = skipBlanks(text, scanValue(scan, at, depth))
    const code = text.charCodeAt(at)
    if (code === 0x7d) break
    if (code !== 0x2c) throw new JsonFault('ERR_JSON_SYNTAX', 'a comma or the end of the object is missing')
    at = skipBlanks(text, at + 1)
  }
  path.length = depth - 1
  return at + 1
}

/** Position of the value that belongs to the name at `at`; the name is now the last step of the path. */
function scanName(scan: Scan, at: number, depth: number, names: Set<string>): number {
  const { text, path } = scan
  if (text.charCodeAt(at) !== 0x22)
    throw new JsonFault('ERR_JSON_SYNTAX', 'a member name in quotation marks is missing')
  const end = stringEnd(scan, at)
  const name = nameBetween(text, at, end)
  path[depth - 1] = name
  countPart(scan)
  if (name === '__proto__') throw new JsonFault('ERR_JSON_FORBIDDEN_NAME', 'the name `__proto__` is not allowed')
  if (names.has(name)) throw new JsonFault('ERR_JSON_DUPLICATE_NAME', 'the name occurs twice in one object')
  names.add(name)
  const colon = skipBlanks(text, end)
  if (text.charCodeAt(colon) !== 0x3a) throw new JsonFault('ERR_JSON_SYNTAX', 'the colon after the name is missing')
  return skipBlanks(text, colon + 1)
}

/** The name written between two positions, with its escapes resolved: `"\u0061"` and `"a"` are one name. */
function nameBetween(text: string, start: number, end: number): string {
  const inside = text.slice(start + 1, end - 1)
  return inside.includes('\\') ? String(JSON.parse(text.slice(start, end))) : inside
}

function enter(scan: Scan, depth: number): void {
  if (depth > scan.maxDepth) throw new JsonFault('ERR_JSON_DEPTH', `the nesting is deeper than ${scan.maxDepth}`)
  countPart(scan)
}

function countPart({ seen, maxParts }: Scan): void {
  seen.parts += 1
  if (seen.parts > maxParts) {
    throw new JsonFault('ERR_JSON_TOO_MANY_PARTS', `there are more than ${maxParts} objects, arrays and names`)
  }
}

function skipBlanks(text: string, start: number): number {
  let at = start
  for (;;) {
    const code = text.charCodeAt(at)
    if (code > 0x20 || (code !== 0x20 && code !== 0x0a && code !== 0x0d && code !== 0x09)) return at
    at += 1
  }
}

const words = ['true', 'false', 'null']
const nonFinite = ['NaN', 'Infinity']

function scanWord(text: string, at: number): number {
  const word = words.find((each) => text.startsWith(each, at))
  if (word !== undefined) return at + word.length
  if (nonFinite.some((each) => text.startsWith(each, at))) throw notFinite()
  throw new JsonFault(
    'ERR_JSON_SYNTAX',
    at < text.length ? 'a value is missing or misspelt' : 'the text ends too early',
  )
}
