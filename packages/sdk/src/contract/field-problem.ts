/** Why a comparison was refused: closed list of codes, and the words of a refusal. */
import type { FieldProblem } from './problem.ts'

/** Every code a refused member can carry. A code never changes its meaning; its detail may be worded better. */
export const fieldProblemCodes = [
  /** A unit that is not one of the kind. */
  'ERR_UNKNOWN_UNIT',
  /** Text where a number is needed, and the like. */
  'ERR_WRONG_TYPE',
  /** A member that must be there is not. */
  'ERR_MISSING_MEMBER',
  /** A member nobody knows. */
  'ERR_UNKNOWN_MEMBER',
  /** A word that is not one of the list. */
  'ERR_NOT_IN_LIST',
  /** Text that is too long, empty, or holds control characters. */
  'ERR_BAD_TEXT',
  /** Not a real time with offset, RFC 3339. */
  'ERR_BAD_TIME',
  /** Not a real calendar date. */
  'ERR_BAD_DATE',
  /** Not a SHA-256 digest in lower-case hex. */
  'ERR_BAD_DIGEST',
  /** NaN or an infinity. */
  'ERR_NOT_FINITE',
  /** A negative zero. */
  'ERR_NEGATIVE_ZERO',
  /** A number beyond its bounds. */
  'ERR_OUT_OF_RANGE',
  /** A number that must be whole and is not. */
  'ERR_NOT_WHOLE',
  /** A list or text with too many elements. */
  'ERR_TOO_MANY',
  /** A list with too few elements. */
  'ERR_TOO_FEW',
  /** Two things with one id, or one run excluded twice. */
  'ERR_DUPLICATE_ID',
  /** The id of something the document does not hold. */
  'ERR_UNKNOWN_REFERENCE',
  /** A run that was not for measuring cannot be excluded. */
  'ERR_EXCLUDED_NOT_MEASURED',
  /** Not exactly one of `values` and `base64`. */
  'ERR_CHANNEL_FORM',
  /** Not padded standard base64. */
  'ERR_CHANNEL_BASE64',
  /** Bytes that are not whole float64. */
  'ERR_CHANNEL_LENGTH',
  /** A sample that is NaN or an infinity. */
  'ERR_CHANNEL_NOT_FINITE',
  /** A sample that is a negative zero. */
  'ERR_CHANNEL_NEGATIVE_ZERO',
  /** A sample of magnitude 2^53 or more. */
  'ERR_CHANNEL_TOO_LARGE',
  /** Channels of one run with different numbers of samples. */
  'ERR_CHANNELS_UNEQUAL',
  /** A measured run with neither channels nor reported figures. */
  'ERR_NO_FIGURES',
  /** Channels without engine speed, and without roller speed over time. */
  'ERR_NO_SPEED',
  /** A speed that never rises above where it began. */
  'ERR_NOT_A_SWEEP',
  /** A band that does not go upwards. */
  'ERR_CLAIM_BAND',
  /** A gain in a unit that is not of the quantity claimed. */
  'ERR_CLAIM_UNIT',
  /** A tolerance that is missing, out of place or not above 0. */
  'ERR_CLAIM_TOLERANCE',
  /** A relation that the range of the claim does not know. */
  'ERR_CLAIM_RELATION',
  /** A claim of no loss without a margin. */
  'ERR_CLAIM_MARGIN',
  /** A relative humidity that cannot be. */
  'ERR_HUMIDITY',
  /** A temperature below absolute zero. */
  'ERR_BELOW_ABSOLUTE_ZERO',
  /** A pressure below zero. */
  'ERR_NEGATIVE_PRESSURE',
  /** A station pressure that can only be a gauge pressure. */
  'ERR_GAUGE_PRESSURE',
  /** An order of runs that is missing, given twice, or cannot be run. */
  'ERR_PLAN_ORDER',
  /** Fewer conditioning runs than an order with all of one side first needs. */
  'ERR_PLAN_CONDITIONING',
  /** A plan that tests nothing. */
  'ERR_PLAN_CHANGE',
  /** A study of a machine that was changed between its runs. */
  'ERR_STUDY_SIDES',
  /** More was refused than is listed. */
  'ERR_MORE_PROBLEMS',
] as const

/** One code of a refused member. */
export type FieldProblemCode = (typeof fieldProblemCodes)[number]

/** One refused member of a comparison. */
export interface ComparisonProblem extends FieldProblem {
  /** Code of the closed list. */
  readonly code: FieldProblemCode
}

/** Names and indexes from the top of a document down to a member. */
export type MemberPath = readonly PropertyKey[]

/** JSON Pointer (RFC 6901 §3) of a path: `~` is written `~0`, `/` is written `~1`. */
export function pointerTo(path: MemberPath): string {
  return path.map((step) => `/${String(step).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')
}

/** A value of hostile origin as a message may print it: on one line, short. */
export function printed(value: unknown): string {
  if (typeof value === 'string') return `"${shortened(JSON.stringify(value).slice(1, -1))}"`
  if (typeof value === 'number') return Object.is(value, -0) ? '-0' : String(value)
  if (typeof value === 'boolean') return String(value)
  if (value === null) return 'null'
  if (Array.isArray(value)) return `a list of ${value.length}`
  return typeof value === 'object' ? 'an object' : 'nothing'
}

/** A phrase as a sentence: a capital before, a full stop behind. */
export function sentence(phrase: string): string {
  return `${phrase.charAt(0).toUpperCase()}${phrase.slice(1)}${phrase.endsWith('.') ? '' : '.'}`
}

/** Words joined for a sentence. */
export function listed(words: readonly string[]): string {
  return words.join(', ')
}

/** The beginning of a text of hostile length. */
export function shortened(text: string): string {
  return text.length <= 60 ? text : `${text.slice(0, 60)}…`
}
