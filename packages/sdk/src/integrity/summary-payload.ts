/** The payload of a signed summary: read from its exact bytes, and written to them. */
import type { SummaryPayload } from '../contract/index.ts'
import { isCanonicalForm } from './canonical-form.ts'
import { canonicalJsonBytes } from './canonical-json.ts'
import { instantKey } from './instant.ts'
import { IntegrityError } from './integrity-error.ts'
import { isJsonObject, type JsonObject } from './json-object.ts'
import { accepted, type Outcome, refused } from './outcome.ts'
import { parseStrictJson } from './strict-json.ts'

/** Why a payload was refused. */
export type PayloadCode = 'ERR_PAYLOAD_JSON' | 'ERR_PAYLOAD_NOT_CANONICAL' | 'ERR_PAYLOAD_SHAPE'

/**
 * The payload behind signed bytes.
 *
 * 1. The bytes are strict JSON. 2. They are the RFC 8785 form of what they say, so one payload has one text.
 * 3. The members that verification rests on are there and well-formed. Other members are not looked at, so that a newer
 * summary can still be verified; they are covered by the signature all the same.
 *
 * @param bytes taken as hostile. Pure; never throws.
 */
export function readPayload(bytes: Uint8Array): Outcome<SummaryPayload, PayloadCode> {
  const parsed = parseStrictJson(bytes)
  if (!parsed.ok) {
    const { code, detail, pointer } = parsed.problem
    return refused('ERR_PAYLOAD_JSON', `the payload is not strict JSON: ${detail} (${code})`, pointer)
  }
  if (!isCanonicalForm(bytes, parsed.value)) {
    return refused('ERR_PAYLOAD_NOT_CANONICAL', 'the payload is not in its RFC 8785 form')
  }
  const misshapen = shapeRules.find(({ holds, pointer }) => !holds(memberAt(parsed.value, pointer)))
  if (misshapen !== undefined) {
    return refused('ERR_PAYLOAD_SHAPE', `this member is missing or is not ${misshapen.expected}`, misshapen.pointer)
  }
  return accepted(parsed.value as SummaryPayload)
}

/**
 * The bytes of a payload that are signed.
 *
 * @throws IntegrityError `ERR_NOT_CANONICALISABLE` when JSON cannot say it; `ERR_PAYLOAD_NOT_SIGNABLE` when `readPayload`
 * would refuse the bytes, so that nothing is signed that nobody could verify.
 */
export function writePayload(payload: SummaryPayload): Uint8Array<ArrayBuffer> {
  const bytes = canonicalJsonBytes(payload)
  const read = readPayload(bytes)
  if (!read.ok) throw new IntegrityError('ERR_PAYLOAD_NOT_SIGNABLE', read.problem.detail, read.problem.pointer)
  return bytes
}

interface ShapeRule {
  readonly pointer: string
  readonly expected: string
  readonly holds: (member: unknown) => boolean
}

const text = { expected: 'a text', holds: (member: unknown) => typeof member === 'string' && member !== '' }
const texts = {
  expected: 'a list of texts',
  holds: (member: unknown) => Array.isArray(member) && member.every((each) => typeof each === 'string'),
}
const oneOf = (...words: readonly unknown[]) => ({
  expected: 'a known word',
  holds: (member: unknown) => words.includes(member),
})

const shapeRules: readonly ShapeRule[] = [
  { pointer: '', expected: 'an object of issue and result', holds: isPairOfObjects },
  { pointer: '/issue/id', ...text },
  { pointer: '/issue/issuer', ...text },
  { pointer: '/issue/submitter', ...text },
  { pointer: '/issue/issuedAt', expected: 'an RFC 3339 time in UTC', holds: (at) => instantKey(at) !== undefined },
  { pointer: '/issue/supersedes', expected: 'a text or null', holds: (id) => id === null || typeof id === 'string' },
  { pointer: '/issue/registration', ...oneOf('pre-registered', 'amended', 'none') },
  { pointer: '/issue/receipts', ...texts },
  { pointer: '/result/method', ...text },
  { pointer: '/result/protocol/id', ...text },
  { pointer: '/result/protocol/digest', ...text },
  { pointer: '/result/inputs/comparison', ...text },
  { pointer: '/result/inputs/runs', expected: 'a list of run digests', holds: isListOfRunDigests },
  { pointer: '/result/standing', ...oneOf('valid', 'limited', 'invalid') },
  { pointer: '/result/scope', ...texts },
  { pointer: '/result/limits', ...texts },
]

function isPairOfObjects(payload: unknown): boolean {
  return isJsonObject(payload) && isJsonObject(payload.issue) && isJsonObject(payload.result)
}

function isListOfRunDigests(runs: unknown): boolean {
  const isRunDigest = (each: unknown) => isJsonObject(each) && text.holds(each.run) && text.holds(each.digest)
  return Array.isArray(runs) && runs.every(isRunDigest)
}

function memberAt(value: unknown, pointer: string): unknown {
  const steps = pointer.split('/').slice(1)
  return steps.reduce<unknown>(
    (member, step) => (isJsonObject(member) ? (member as JsonObject)[step] : undefined),
    value,
  )
}
