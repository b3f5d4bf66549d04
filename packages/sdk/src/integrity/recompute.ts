/** Whether numbers come out again: a signed result against one that was computed anew from the same data. */
import type { Comparison, InputDigests, Result } from '../contract/index.ts'
import { canonicalJson } from './canonical-json.ts'
import { inputDigests } from './digest.ts'
import { IntegrityError } from './integrity-error.ts'
import { isJsonObject } from './json-object.ts'
import { jsonPointer, type PathStep } from './json-pointer.ts'

/** What recomputing says. Only `differs` accuses. */
export type RecomputationAnswer = 'identical' | 'agrees-to-last-digit' | 'other-method-version' | 'differs'

/** A signed result against a recomputed one. */
export interface ResultComparison {
  /** The answer. */
  readonly answer: RecomputationAnswer
  /** JSON Pointers of the members that are not equal, in document order, at most 100 of them. */
  readonly members: readonly string[]
  /** How many members are not equal. */
  readonly memberCount: number
}

/** The data at hand against the digests in a result. */
export interface InputComparison {
  /** Whether this is the comparison that was judged, byte for byte of meaning. */
  readonly isSame: boolean
  /** Ids of the signed runs that the data at hand lack or hold otherwise. */
  readonly otherRuns: readonly string[]
}

const SIGNIFICANT_DIGITS = 6
const LISTED_MEMBERS = 100

/** One unit of the last digit, with room for the rounding of the subtraction. */
const ONE_UNIT = 1.000001

/**
 * Compares a signed result with a recomputed one.
 *
 * 1. `other-method-version` when the method versions differ: nothing follows from a difference then.
 * 2. `identical` when the RFC 8785 forms are equal.
 * 3. `agrees-to-last-digit` when the members that are not equal are numbers one unit apart in the sixth significant
 *    digit, or sentences that differ only in printed decimals one unit apart in their last digit.
 * 4. `differs` otherwise.
 *
 * @throws IntegrityError `ERR_NOT_CANONICALISABLE` when the recomputed result cannot be said in JSON.
 */
export function compareResults(signed: Result, recomputed: Result): ResultComparison {
  if (signed.method !== recomputed.method) return resultComparison('other-method-version', [jsonPointer(['method'])])
  if (canonicalJson(signed) === canonicalJson(recomputed)) return resultComparison('identical', [])
  const unequal: Unequal[] = []
  collect(signed, recomputed, [], unequal)
  const agrees = unequal.every(({ isLastDigit }) => isLastDigit)
  const pointers = unequal.filter(({ isLastDigit }) => agrees || !isLastDigit).map(({ pointer }) => pointer)
  return resultComparison(agrees ? 'agrees-to-last-digit' : 'differs', pointers)
}

/**
 * Compares the data at hand with the digests in a signed result.
 *
 * @param comparison a comparison document; one that cannot be digested is not the one that was signed. Never throws.
 */
export async function compareInputs(signed: InputDigests, comparison: Comparison): Promise<InputComparison> {
  const given = await digestsOrNone(comparison)
  const digests = new Map(given?.runs.map(({ run, digest }) => [run, digest]))
  const otherRuns = signed.runs.filter(({ run, digest }) => digests.get(run) !== digest).map(({ run }) => run)
  return { isSame: given?.comparison === signed.comparison && otherRuns.length === 0, otherRuns }
}

async function digestsOrNone(comparison: Comparison): Promise<InputDigests | undefined> {
  try {
    return await inputDigests(comparison)
  } catch (error) {
    if (error instanceof IntegrityError) return undefined
    throw error
  }
}

interface Unequal {
  readonly pointer: string
  readonly isLastDigit: boolean
}

function resultComparison(answer: RecomputationAnswer, pointers: readonly string[]): ResultComparison {
  return { answer, members: pointers.slice(0, LISTED_MEMBERS), memberCount: pointers.length }
}

function collect(one: unknown, other: unknown, path: PathStep[], unequal: Unequal[]): void {
  if (Array.isArray(one) && Array.isArray(other) && one.length === other.length) {
    for (const [index, element] of one.entries()) collectMember(element, other[index], index, path, unequal)
  } else if (isJsonObject(one) && isJsonObject(other)) {
    const names = new Set([...Object.keys(one), ...Object.keys(other)])
    for (const name of names) collectMember(one[name], other[name], name, path, unequal)
  } else if (one !== other) {
    unequal.push({ pointer: jsonPointer(path), isLastDigit: isLastDigitApart(one, other) })
  }
}

function collectMember(one: unknown, other: unknown, step: PathStep, path: PathStep[], unequal: Unequal[]): void {
  path.push(step)
  collect(one, other, path, unequal)
  path.pop()
}

function isLastDigitApart(one: unknown, other: unknown): boolean {
  if (typeof one === 'number' && typeof other === 'number') return areNumbersApart(one, other)
  return typeof one === 'string' && typeof other === 'string' && areSentencesApart(one, other)
}

function areNumbersApart(one: number, other: number): boolean {
  const larger = Math.max(Math.abs(one), Math.abs(other))
  const exponent = Number(larger.toExponential(SIGNIFICANT_DIGITS - 1).split('e')[1])
  return Math.abs(one - other) <= ONE_UNIT * 10 ** (exponent - SIGNIFICANT_DIGITS + 1)
}

const DECIMAL = /-?\d+\.\d+/g

/** A word, an id or a digest has no blank and must be equal; whole numbers in sentences are counts and must be equal. */
function areSentencesApart(one: string, other: string): boolean {
  if (!one.includes(' ') || one.replace(DECIMAL, '#') !== other.replace(DECIMAL, '#')) return false
  const others = other.match(DECIMAL) ?? []
  return (one.match(DECIMAL) ?? []).every((decimal, index) => areDecimalsApart(decimal, others[index] ?? ''))
}

function areDecimalsApart(one: string, other: string): boolean {
  const places = Math.min(...[one, other].map((decimal) => decimal.length - decimal.indexOf('.') - 1))
  return Math.abs(Number(one) - Number(other)) <= ONE_UNIT * 10 ** -places
}
