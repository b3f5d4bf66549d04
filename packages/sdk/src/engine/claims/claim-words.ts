import type { Claim } from '../../contract/claim.ts'
import type { Registration } from '../../contract/plan.ts'
import type { Interval, Judgement } from '../../contract/result.ts'
import { rpmOf, wholeNumber } from '../evidence/subject.ts'
import type { NoAnswerReason } from './question.ts'

/** A number as a sentence shows it: three significant digits, no exponent for what people meet. */
export function shown(value: number): string {
  return String(Number(value.toPrecision(3)))
}

/** The claim in one plain sentence. */
export function statementOf({ quantity, over, relation, gain, tolerance }: Claim): string {
  const what = quantity === 'wheel-power' ? 'power' : 'torque'
  const value = `${shown(gain.value)} ${gain.unit}`
  if (over.kind === 'no-loss')
    return `No loss of wheel ${what} beyond ${shown(Math.abs(gain.value))} ${gain.unit} ${rangeWords(over)}.`
  if (over.kind === 'everywhere') return `At least ${value} wheel ${what} at every speed ${rangeWords(over)}.`
  if (over.kind === 'anywhere') return `Up to ${value} wheel ${what} ${rangeWords(over)}.`
  const amount = {
    'at-least': `At least ${value}`,
    'at-most': `At most ${value}`,
    'equals-within': `${value} within ±${shown(tolerance?.value ?? 0)} ${gain.unit}`,
  }[relation]
  if (over.kind === 'peak') return `${amount} peak wheel ${what}.`
  if (over.kind === 'at-speed') return `${amount} wheel ${what} at ${wholeNumber(rpmOf(over.speed))} rpm.`
  return `${amount} wheel ${what}, mean ${rangeWords(over)}.`
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

/** An interval in words. */
export function intervalWords({ estimate, low, high }: Interval, unit: string): string {
  if (estimate === null) return 'no gain can be estimated'
  if (low === null || high === null) return `the estimate is ${signed(estimate)} ${unit}, without an interval`
  return `the gain is ${signed(estimate)} ${unit} (95 % interval ${signed(low)} to ${signed(high)} ${unit})`
}

/** A number with its sign. */
export function signed(value: number): string {
  const text = shown(value)
  return value > 0 ? `+${text}` : text.replace('-', '−')
}

/** A judgement in one plain sentence. */
export function judgementSentence(
  judgement: Judgement,
  interval: Interval,
  unit: string,
  reason: string | null,
  registration: Registration = 'none',
): string {
  if (reason !== null) return `${JUDGEMENT_WORDS[judgement]}: ${reason}`
  const because = intervalWords(interval, unit)
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
