/** Whether a claim says something that can be judged. */
import type { BandRange, Claim, GainValue } from './claim.ts'
import { type ComparisonProblem, type FieldProblemCode, listed } from './field-problem.ts'
import { type Quantity, units } from './units.ts'

/** Engine speed. [rpm/(rad/s)], 30/π */
const RPM_PER_RAD_PER_S = 30 / Math.PI

/**
 * What keeps a claim from being judged: a band that does not rise, a gain in a foreign unit, a tolerance missing or
 * too many, a relation its range does not know, a claim of no loss without a margin.
 *
 * @param claim a claim of right shape
 * @param pointer where it stands. Pure; never throws.
 */
export function claimProblems(claim: Claim, pointer: string): readonly ComparisonProblem[] {
  const problem = (member: string, code: FieldProblemCode, detail: string): ComparisonProblem => ({
    pointer: `${pointer}/${member}`,
    code,
    detail,
  })
  const range = isBand(claim.over) ? bandProblems(claim, claim.over, problem) : []
  return [...range, ...unitProblems(claim, problem), ...toleranceProblems(claim, problem)]
}

type Problem = (member: string, code: FieldProblemCode, detail: string) => ComparisonProblem

function isBand(over: Claim['over']): over is BandRange {
  return over.kind !== 'peak' && over.kind !== 'at-speed'
}

function bandProblems(claim: Claim, { kind, from, to }: BandRange, problem: Problem): readonly ComparisonProblem[] {
  const problems: ComparisonProblem[] = []
  if (!(speed_rpm(from, to) < speed_rpm(to, from))) {
    const detail = `The band goes from ${written(from)} to ${written(to)}; "to" must be above "from".`
    problems.push(problem('over/to', 'ERR_CLAIM_BAND', detail))
  }
  if (kind !== 'band-mean' && claim.relation !== 'at-least') {
    const detail = `"${claim.relation}" says nothing over "${kind}"; use "at-least", or the kind "band-mean".`
    problems.push(problem('relation', 'ERR_CLAIM_RELATION', detail))
  }
  if (kind === 'no-loss' && !(claim.gain.value < 0)) {
    const detail =
      `A claim of no loss needs the margin up to which a loss is forgiven, as a gain below 0; found ${written(claim.gain)}. ` +
      'Write for example { "value": -0.5, "unit": "%" }: no measurement can show a loss of exactly nothing.'
    problems.push(problem('gain/value', 'ERR_CLAIM_MARGIN', detail))
  }
  return problems
}

function unitProblems({ quantity, gain }: Claim, problem: Problem): readonly ComparisonProblem[] {
  const allowed: readonly string[] = ['%', ...(quantity === 'wheel-power' ? units.power : units.torque)]
  if (allowed.includes(gain.unit)) return []
  const detail = `"${gain.unit}" is not a unit of a gain in ${quantity}. Allowed: ${listed(allowed)}.`
  return [problem('gain/unit', 'ERR_CLAIM_UNIT', detail)]
}

function toleranceProblems({ relation, gain, tolerance }: Claim, problem: Problem): readonly ComparisonProblem[] {
  if (relation !== 'equals-within') {
    const detail = `A tolerance belongs to "equals-within" only; the relation is "${relation}". Leave it out.`
    return tolerance === undefined ? [] : [problem('tolerance', 'ERR_CLAIM_TOLERANCE', detail)]
  }
  if (tolerance === undefined) {
    const detail = `"equals-within" needs a tolerance. Add { "value": …, "unit": "${gain.unit}" }, the half-width.`
    return [problem('tolerance', 'ERR_CLAIM_TOLERANCE', detail)]
  }
  if (tolerance.unit !== gain.unit) {
    const detail = `The tolerance is in "${tolerance.unit}" and the gain in "${gain.unit}"; use the unit of the gain.`
    return [problem('tolerance/unit', 'ERR_CLAIM_TOLERANCE', detail)]
  }
  const detail = `The tolerance is ${written(tolerance)}; it must be above 0.`
  return tolerance.value > 0 ? [] : [problem('tolerance/value', 'ERR_CLAIM_TOLERANCE', detail)]
}

/** Speeds of one unit are compared as written; a conversion could make two unequal ones equal. */
function speed_rpm(speed: Quantity<'rotationalSpeed'>, other: Quantity<'rotationalSpeed'>): number {
  return speed.unit === other.unit || speed.unit === 'rpm' ? speed.value : speed.value * RPM_PER_RAD_PER_S
}

function written({ value, unit }: GainValue | Quantity<'rotationalSpeed'>): string {
  return `${value} ${unit}`
}
