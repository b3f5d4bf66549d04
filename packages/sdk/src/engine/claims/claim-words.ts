import type { Claim } from '../../contract/claim.ts'
import type { Registration } from '../../contract/plan.ts'
import type { ExtremeGain, Interval, Judgement } from '../../contract/result.ts'
import { rpmOf, wholeNumber } from '../evidence/subject.ts'
import type { NoAnswerReason } from './question.ts'

/** A number as a sentence shows it: three significant digits, no exponent for what people meet. */
export function shown(value: number): string {
  return String(Number(value.toPrecision(3)))
}

/** `a`, `a and b`, `a, b and c`. */
export function listed(words: readonly string[]): string {
  const last = words.at(-1) ?? ''
  return words.length < 2 ? last : `${words.slice(0, -1).join(', ')} and ${last}`
}

/** The claim in one plain sentence. */
export function statementOf({ quantity, over, relation, gain, tolerance }: Claim): string {
  const what = quantity === 'wheel-power' ? 'power' : 'torque'
  const value = `${shown(gain.value)} ${gain.unit}`
  if (over.kind === 'no-loss')
    return `No loss of wheel ${what} beyond ${shown(Math.abs(gain.value))} ${gain.unit} ${rangeWords(over)}.`
  if (over.kind === 'everywhere') return `At least ${value} more wheel ${what} at every speed ${rangeWords(over)}.`
  if (over.kind === 'anywhere') return `Up to ${value} more wheel ${what} ${rangeWords(over)}.`
  const amount = {
    'at-least': `At least ${value}`,
    'at-most': `At most ${value}`,
    'equals-within': `${value}, within ±${shown(tolerance?.value ?? 0)} ${gain.unit},`,
  }[relation]
  if (over.kind === 'peak') return `${amount} more peak wheel ${what}.`
  if (over.kind === 'at-speed') return `${amount} more wheel ${what} at ${wholeNumber(rpmOf(over.speed))} rpm.`
  return `${amount} more wheel ${what}, mean ${rangeWords(over)}.`
}

function rangeWords({ from, to }: Extract<Claim['over'], { readonly from: unknown }>): string {
  return `from ${wholeNumber(rpmOf(from))} to ${wholeNumber(rpmOf(to))} rpm`
}

/** Why a claim is not decided, in one sentence. */
export const REASONS: Readonly<Record<NoAnswerReason, string>> = {
  'not covered': 'The runs do not all cover the engine speeds of the claim.',
  'range too narrow': 'The claimed range holds fewer than three points of the 50 rpm grid.',
  peak_not_reached: 'The highest power lies at the end of the measured range, so the peak was not reached.',
  'no interval': 'The data give no interval for the gain of the part, so nothing can be said of the claim.',
  'no fit': 'A side has no usable run.',
}

/** Two decimals where the interval is narrower than ±1, else one; without an interval two. */
function decimalsOf({ low, high }: Interval): number {
  return low !== null && high !== null && high - low >= 2 ? 1 : 2
}

/** A number with its sign and a fixed number of decimals. */
export function signed(value: number, decimals = 2): string {
  const text = Math.abs(value).toFixed(decimals)
  if (Number(text) === 0) return text
  return `${value > 0 ? '+' : '−'}${text}`
}

/** `95 % interval +2.31 to +3.20 %`; null where there is no interval. */
function rangeOfInterval(interval: Interval, unit: string, name: string): string | null {
  const { low, high } = interval
  if (low === null || high === null) return null
  const decimals = decimalsOf(interval)
  return `95 % ${name} ${signed(low, decimals)} to ${signed(high, decimals)} ${unit}`
}

/** An interval in words. */
export function intervalWords(interval: Interval, unit: string): string {
  if (interval.estimate === null) return 'no gain can be estimated'
  const estimate = `${signed(interval.estimate, decimalsOf(interval))} ${unit}`
  const range = rangeOfInterval(interval, unit, 'interval')
  return range === null ? `the estimate is ${estimate}, without an interval` : `the gain is ${estimate} (${range})`
}

/** What a claim about a range turns on, with what it says nothing about beside it. */
export interface RangeFigures {
  /** Whether the claim speaks of every speed, or of the best one. */
  readonly shape: 'everywhere' | 'anywhere'
  /** The band at the speed it turns on. */
  readonly interval: Interval
  /** Extremes of the gain. */
  readonly smallest: ExtremeGain
  readonly largest: ExtremeGain
  /** Gain of the mean. */
  readonly bandMean: Interval
}

/**
 * The band of a claim about a range in words; beside "up to" always the mean and the smallest gain.
 *
 * @param figures of the range.
 * @param unit of the claim.
 * @returns part of a sentence. Pure; never throws. Source: measurement-model §7.
 */
export function bandWords({ shape, interval, smallest, largest, bandMean }: RangeFigures, unit: string): string {
  const range = rangeOfInterval(interval, unit, 'band')
  const band = range === null ? '' : ` (${range})`
  const at = ({ value, at_rpm }: ExtremeGain) =>
    `${signed(value, decimalsOf(interval))} ${unit} at ${wholeNumber(at_rpm)} rpm`
  if (shape === 'everywhere') return `the smallest gain is ${at(smallest)}${band}`
  const meanRange = rangeOfInterval(bandMean, unit, 'interval')
  const mean =
    bandMean.estimate === null
      ? 'no mean can be estimated'
      : `the mean over the range is ${signed(bandMean.estimate, decimalsOf(bandMean))} ${unit}`
  return `the largest gain is ${at(largest)}${band}; ${mean}${meanRange === null ? '' : ` (${meanRange})`} and the smallest gain ${at(smallest)}`
}

/**
 * A judgement in one plain sentence.
 *
 * @param judgement the judgement.
 * @param because the figures it rests on, in words.
 * @param reason of an undecided or not assessable one; null otherwise.
 * @param registration said with every support.
 * @returns the sentence. Pure; never throws.
 */
export function judgementSentence(
  judgement: Judgement,
  because: string,
  reason: string | null,
  registration: Registration = 'none',
): string {
  if (reason !== null) return `${JUDGEMENT_WORDS[judgement]}: ${reason}`
  if (judgement === 'undecided') return `Undecided: ${because}, which neither supports nor contradicts the claim.`
  if (judgement === 'supported') return `${SUPPORTED_WORDS[registration]}: ${because}.`
  return `${JUDGEMENT_WORDS[judgement]}: ${because}.`
}

const JUDGEMENT_WORDS: Readonly<Record<Judgement, string>> = {
  supported: 'Supported',
  contradicted: 'Contradicted',
  undecided: 'Undecided',
  'not-assessable': 'Not assessable',
}

/** A plan that came first is said with every support, and so is its absence. */
const SUPPORTED_WORDS: Readonly<Record<Registration, string>> = {
  'pre-registered': 'Supported, pre-registered',
  amended: 'Supported, amended after the first run',
  none: 'Supported, not pre-registered',
}
