import { readdirSync, readFileSync } from 'node:fs'
import { expect, TestRunner, test } from 'vitest'

/** How a value came to be known: read in the named source, computed from a stated formula, or recalled. */
export type Provenance = 'FOUND' | 'COMPUTED' | 'MEMORY'

/** One check: a published or computed result with the inputs that lead to it. */
export interface PublishedCheck {
  /** Stable name, unique over all files. */
  readonly id: string
  /** Row of the table at the end of the run; the name of the file the check stands in. */
  readonly family: string
  /** What is computed, in words. */
  readonly quantity: string
  /** The inputs, named with their units. */
  readonly inputs: Readonly<Record<string, unknown>>
  /** A number, a text, a list, or named members of these. */
  readonly expected: unknown
  /** As the source states it: an absolute number, or words. */
  readonly tolerance: unknown
  /** Where the value stands. */
  readonly source: string
  /** How it came to be known. */
  readonly status: Provenance
}

/** One value that a test has compared, as it travels to the reporter. */
export interface ComparedValue {
  readonly id: string
  readonly family: string
  readonly status: Provenance
}

declare module 'vitest' {
  interface TaskMeta {
    published?: ComparedValue[]
  }
}

/**
 * How close is close enough.
 *
 * `printed`: the last printed digit of the literature, or looser for a reason that the test gives.
 * `frozen`: 1e-12 relative, for values of full precision.
 */
export type Tolerance =
  | { readonly kind: 'printed'; readonly absolute: number }
  | { readonly kind: 'printed-relative'; readonly relative: number; readonly reason: string }
  | { readonly kind: 'frozen' }

/** Within `absolute` of the printed value: half a unit of its last digit, or what the source itself states. */
export const printed = (absolute: number): Tolerance => ({ kind: 'printed', absolute })

/** Within a relative distance that is wider than the printed digits, for a stated reason. */
export const printedWithin = (relative: number, reason: string): Tolerance => ({
  kind: 'printed-relative',
  relative,
  reason,
})

/** Within 1e-12 of the value, relatively. */
export const frozen: Tolerance = { kind: 'frozen' }

const checksFolder = new URL('../published/checks/', import.meta.url)

function readFamily(file: string): PublishedCheck[] {
  const family = file.replace(/\.json$/, '')
  const checks = JSON.parse(readFileSync(new URL(file, checksFolder), 'utf8')) as Omit<PublishedCheck, 'family'>[]
  return checks.map((check) => ({ ...check, family }))
}

function readChecks(): ReadonlyMap<string, PublishedCheck> {
  const files = readdirSync(checksFolder).filter((file) => file.endsWith('.json'))
  const byId = new Map<string, PublishedCheck>()
  for (const check of files.toSorted().flatMap(readFamily)) {
    if (byId.has(check.id)) throw new Error(`two published checks are called ${check.id}`)
    byId.set(check.id, check)
  }
  return byId
}

const checks = readChecks()

/** The check of that name. @throws Error when there is none. */
export function published(id: string): PublishedCheck {
  const check = checks.get(id)
  if (check === undefined) throw new Error(`no published check is called ${id}`)
  return check
}

/** All checks whose name begins so, in the order of their files. @throws Error when there are none. */
export function publishedAll(prefix: string): readonly PublishedCheck[] {
  const found = [...checks.values()].filter(({ id }) => id.startsWith(prefix))
  if (found.length === 0) throw new Error(`no published check begins with ${prefix}`)
  return found
}

/** A numeric input of a check. @throws Error when it is not a number. */
export function inputOf(check: PublishedCheck, name: string): number {
  const value = check.inputs[name]
  if (typeof value === 'number') return value
  throw new Error(`${check.id} has no numeric input ${name}`)
}

/** A list of numbers among the inputs of a check. @throws Error when it is not one. */
export function listOf(check: PublishedCheck, name: string): readonly number[] {
  const value = check.inputs[name]
  if (Array.isArray(value) && value.every((entry) => typeof entry === 'number')) return value
  throw new Error(`${check.id} has no list of numbers ${name}`)
}

/** What is expected, or one member of it. `member` is a path such as `lo`, `0` or `CI.1`. */
function expectedOf(check: PublishedCheck, member: string): unknown {
  const steps = member === '' ? [] : member.split('.')
  return steps.reduce<unknown>(
    (value, step) => (value as Readonly<Record<string, unknown>> | undefined)?.[step],
    check.expected,
  )
}

/** One expected number of a check. @throws Error when it is not a number. */
export function expectedNumber(check: PublishedCheck, member = ''): number {
  const value = expectedOf(check, member)
  if (typeof value === 'number') return value
  throw new Error(`${check.id} expects no number at '${member}'`)
}

/** The title of a test: what is computed, from where, and how the value came to be known. */
export function titleOf(check: PublishedCheck, what: string = check.quantity): string {
  return `${check.id}: ${what} [${check.status}: ${check.source}]`
}

/** A test of one check, titled with its source and status. */
export function testPublished(id: string, body: (check: PublishedCheck) => void | Promise<void>, what?: string): void {
  const check = published(id)
  test(titleOf(check, what), () => body(check))
}

/**
 * Notes that the running test has compared a published value, so that the table at the end counts it.
 *
 * A value counts once, however often it is compared, and only if its test passes.
 */
export function recordPublished(value: ComparedValue): void {
  const meta = TestRunner.getCurrentTest()?.meta
  if (meta === undefined) throw new Error('a published value can be compared only inside a test')
  meta.published = [...(meta.published ?? []), value]
}

function recordMember(check: PublishedCheck, member: string): void {
  const id = member === '' ? check.id : `${check.id}/${member}`
  recordPublished({ id, family: check.family, status: check.status })
}

function allowance(tolerance: Tolerance, want: number): number {
  switch (tolerance.kind) {
    case 'printed':
      return tolerance.absolute
    case 'printed-relative':
      return tolerance.relative * Math.abs(want)
    case 'frozen':
      return 1e-12 * Math.abs(want)
  }
}

function statedTolerance(check: PublishedCheck): Tolerance {
  if (typeof check.tolerance === 'number') return printed(check.tolerance)
  throw new Error(`${check.id} states its tolerance in words: give one`)
}

/** Fails unless `actual` is a number within the tolerance of `want`; the limit itself is within. NaN always fails. */
export function expectWithin(actual: number, want: number, tolerance: Tolerance): void {
  const allowed = allowance(tolerance, want)
  const isWithin = Math.abs(actual - want) <= allowed
  expect(isWithin, `got ${actual}, want ${want} within ${allowed}, off by ${actual - want}`).toBe(true)
}

/** Where a value stands in a check, and how close the computed one must come. */
export interface PublishedValue {
  /** Path into what the check expects; absent when it expects a single value. */
  readonly member?: string
  /** Absent: the number that the check itself states. */
  readonly tolerance?: Tolerance
}

/**
 * Compares a computed number with the published one, and counts it.
 *
 * @param check the check, or its name.
 * @param actual what our code computes.
 */
export function expectPublished(check: PublishedCheck | string, actual: number, value: PublishedValue = {}): void {
  const from = typeof check === 'string' ? published(check) : check
  const member = value.member ?? ''
  expectWithin(actual, expectedNumber(from, member), value.tolerance ?? statedTolerance(from))
  recordMember(from, member)
}

/** Compares a text, a truth value or a structure with the published one, exactly, and counts it. */
export function expectPublishedExactly(check: PublishedCheck | string, actual: unknown, member = ''): void {
  const from = typeof check === 'string' ? published(check) : check
  const want = expectedOf(from, member)
  expect(want, `${from.id} expects nothing at '${member}'`).toBeDefined()
  expect(actual).toEqual(want)
  recordMember(from, member)
}
