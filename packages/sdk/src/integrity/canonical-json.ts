/**
 * The one text of a JSON value: RFC 8785 (JSON Canonicalization Scheme).
 *
 * The writer is the `canonicalize` package. It drops `undefined`, calls `toJSON`, writes a hole as null and follows any
 * depth, so it only ever sees what JSON can say: a copy made by the guard in this file, or what strict JSON was read into.
 */
import canonicalize from 'canonicalize'
import { IntegrityError } from './integrity-error.ts'
import { jsonPointer, type PathStep } from './json-pointer.ts'
import { MAX_JSON_DEPTH } from './strict-json.ts'

const encoder = new TextEncoder()

/**
 * RFC 8785 text of a value: no blanks, members sorted by UTF-16 code units, numbers as ECMAScript writes them.
 *
 * @param value plain objects, dense arrays, well-formed strings, finite numbers, booleans, null; nested up to 32
 * @throws IntegrityError `ERR_NOT_CANONICALISABLE` with the pointer of the first thing that JSON cannot say: undefined,
 * NaN, an infinity, bigint, symbol, function, a hole, half a surrogate pair, a Date or any other class, `__proto__`.
 *
 * Source: RFC 8785 §3.2. Tested: tests/published/rfc-8785.test.ts.
 */
export function canonicalJson(value: unknown): string {
  const text = canonicalize(sayable(value, []))
  if (text === undefined) throw unsayable('there is no value', [])
  return text
}

/** UTF-8 bytes of `canonicalJson`; these are the bytes that are digested and signed. */
export function canonicalJsonBytes(value: unknown): Uint8Array<ArrayBuffer> {
  return encoder.encode(canonicalJson(value))
}

/** A copy of `value` read member by member once, so that a getter cannot say one thing here and another later. */
function sayable(value: unknown, path: PathStep[]): unknown {
  if (value === null || typeof value === 'boolean') return value
  if (typeof value === 'number') return finite(value, path)
  if (typeof value === 'string') return wellFormed(value, path)
  if (typeof value !== 'object') throw unsayable(`JSON cannot say a value of type ${typeof value}`, path)
  if (path.length >= MAX_JSON_DEPTH) throw unsayable(`the nesting is deeper than ${MAX_JSON_DEPTH}`, path)
  return Array.isArray(value) ? sayableArray(value, path) : sayableObject(value, path)
}

function sayableArray(array: readonly unknown[], path: PathStep[]): readonly unknown[] {
  if (Object.keys(array).length !== array.length) throw unsayable('the array has holes or named members', path)
  const copy: unknown[] = []
  for (let index = 0; index < array.length; index += 1) {
    path.push(index)
    copy.push(sayable(array[index], path))
    path.pop()
  }
  return copy
}

function sayableObject(object: object, path: PathStep[]): Readonly<Record<string, unknown>> {
  const prototype = Object.getPrototypeOf(object)
  if (prototype !== Object.prototype && prototype !== null) throw unsayable('this is no plain object', path)
  if (Object.getOwnPropertySymbols(object).length > 0) throw unsayable('a member is named by a symbol', path)
  const copy: Record<string, unknown> = {}
  for (const [name, member] of Object.entries(object)) {
    path.push(name)
    if (name === '__proto__') throw unsayable('the name `__proto__` is not allowed', path)
    copy[wellFormed(name, path)] = sayable(member, path)
    path.pop()
  }
  return copy
}

function finite(value: number, path: readonly PathStep[]): number {
  if (!Number.isFinite(value)) throw unsayable(`JSON cannot say ${value}`, path)
  return value
}

const HALF_PAIR = /\p{Surrogate}/u

function wellFormed(text: string, path: readonly PathStep[]): string {
  if (HALF_PAIR.test(text)) throw unsayable('the string holds half a surrogate pair', path)
  return text
}

function unsayable(message: string, path: readonly PathStep[]): IntegrityError {
  return new IntegrityError('ERR_NOT_CANONICALISABLE', message, jsonPointer(path))
}
