import { studentT } from '../numerics/student-t.ts'
import { type Allowance, NO_ALLOWANCE } from '../statistics/allowance.ts'
import { simultaneousP } from '../statistics/critical-value.ts'
import { type DriftModels, type Modelled, modelledBand, modelledFit } from '../statistics/drift-models.ts'
import { figureOf } from '../statistics/figure.ts'
import { drawnGain } from '../statistics/gain-curve.ts'
import { rangeOf } from '../statistics/grid.ts'
import { oneSidedP, SMALLEST_P } from '../statistics/interval.ts'
import type { BudgetedInterval, ScalarOutcome } from '../statistics/scalar-fit.ts'
import type { SessionInput } from '../statistics/session-input.ts'
import type { Band, BandInput, BandOutcome, GainBand } from '../statistics/simultaneous-band.ts'
import type { ClaimQuestion, FigureQuestion, NoAnswerReason, RangeQuestion } from './question.ts'

/** The smallest or largest gain of a range. */
export interface Extreme {
  /** Gain. [unit], ln where relative */
  readonly gain: number
  /** Engine speed. [rpm] */
  readonly engineSpeed_rpm: number
}

/** What the data answer, before the correction for several claims. */
export interface ClaimAnswer {
  /** One-sided p of "the claim is false". [1] */
  readonly supportP: number
  /** One-sided p of "the claim is true". [1] */
  readonly contradictionP: number
  /** Why there is no p; null when there is. */
  readonly reason: NoAnswerReason | null
  /** Room that the ends of a figure's interval leave beside its uncertainty. [1] */
  readonly allowance: Allowance
  /** Fit of a figure, with its hull; null for ranges and where there is none. */
  readonly fit: Modelled<ScalarOutcome> | null
  /** Band of a range, with its hull; null for figures and where there is none. */
  readonly band: Modelled<BandOutcome> | null
  /** Extremes of the gain over the range, and the speeds that decide; null for figures. */
  readonly extremes: RangeExtremes | null
  /** Fit of the mean over the range, which "up to" says nothing about; null for figures and where there is none. */
  readonly bandMean: Modelled<ScalarOutcome> | null
}

/** Extremes of the gain over a range. */
export interface RangeExtremes {
  readonly smallest: Extreme
  readonly largest: Extreme
  /** Speeds where the claim is worst and best evidenced; null where there is no band. [rpm] */
  readonly worst_rpm: number | null
  readonly best_rpm: number | null
}

const UNANSWERED = {
  supportP: 1,
  contradictionP: 1,
  allowance: NO_ALLOWANCE,
  fit: null,
  band: null,
  extremes: null,
  bandMean: null,
} as const

/**
 * What the data answer to one question.
 *
 * @param question the claim, on the scale of the analysis.
 * @param session what is known of the runs.
 * @param models drift models of the session.
 * @param allowance room for what printed figures leave open; curves that were recorded have none. [1]
 * @returns p of support and of contradiction, the larger of each over the drift models. Pure; never throws on weak evidence.
 *
 * Source: measurement-model §7. Tested: tests/vectors, analyse.
 */
export function answerOf(
  question: ClaimQuestion,
  session: SessionInput,
  models: DriftModels,
  allowance: Allowance = NO_ALLOWANCE,
): ClaimAnswer {
  return question.shape === 'figure'
    ? figureAnswer(question, session, models, allowance)
    : rangeAnswer(question, session, models)
}

function figureAnswer(
  question: FigureQuestion,
  session: SessionInput,
  models: DriftModels,
  allowance: Allowance,
): ClaimAnswer {
  const { figure, isRelative } = question
  if (figure.values.length === 0) return { ...UNANSWERED, reason: figure.problem ?? 'not covered' }

  const fit = modelledFit({ ...session, values: figure.values, width_rpm: figure.width_rpm, isRelative }, models)
  if (!fit.main.ok) return { ...UNANSWERED, reason: 'no fit' }
  const ps = [fit.main, ...fit.others].map((outcome) => figurePs(question, outcome, allowance))
  const reason = fit.main.fit.interval === null ? 'no interval' : figure.problem
  if (reason !== null) return { ...UNANSWERED, reason, allowance, fit }
  return { ...UNANSWERED, ...largestPs(ps), reason: null, allowance, fit }
}

interface Ps {
  readonly supportP: number
  readonly contradictionP: number
}

const NO_PS: Ps = { supportP: 1, contradictionP: 1 }

function largestPs(ps: readonly Ps[]): Ps {
  return {
    supportP: Math.max(...ps.map(({ supportP }) => supportP)),
    contradictionP: Math.max(...ps.map(({ contradictionP }) => contradictionP)),
  }
}

function figurePs({ relation, lower, upper }: FigureQuestion, outcome: ScalarOutcome, allowance: Allowance): Ps {
  if (!outcome.ok || outcome.fit.interval === null) return NO_PS
  const { estimate, interval, level } = outcome.fit
  const atMost = (x: number) => pAtMost(estimate - allowance.down * level, interval, x)
  const atLeast = (x: number) => pAtLeast(estimate + allowance.up * level, interval, x)
  if (relation === 'at-least') return { supportP: atMost(lower), contradictionP: atLeast(lower) }
  if (relation === 'at-most') return { supportP: atLeast(upper), contradictionP: atMost(upper) }
  return {
    supportP: Math.max(atMost(lower), atLeast(upper)),
    contradictionP: Math.min(1, 2 * Math.min(atMost(upper), atLeast(lower))),
  }
}

/** p(θ ≤ x) of an interval. */
export function pAtMost(estimate: number, { components, rule }: BudgetedInterval, x: number): number {
  return oneSidedP(estimate - x, components, rule)
}

/** p(θ ≥ x) of an interval. */
export function pAtLeast(estimate: number, { components, rule }: BudgetedInterval, x: number): number {
  return oneSidedP(x - estimate, components, rule)
}

function rangeAnswer(question: RangeQuestion, session: SessionInput, models: DriftModels): ClaimAnswer {
  const input = bandInputOf(question, session)
  if (typeof input === 'string') return { ...UNANSWERED, reason: input }

  const band = modelledBand(input, models)
  const { main } = band
  if (!main.ok) return { ...UNANSWERED, reason: 'no fit' }
  const shared = {
    band,
    bandMean: meanFit(question, session, models),
    extremes: extremesOf(band, question.value, input),
  }
  if (main.value.band === null) return { ...UNANSWERED, ...shared, reason: 'no interval' }
  const ps = [main, ...band.others].map((outcome) => rangePs(question, outcome))
  return { ...UNANSWERED, ...largestPs(ps), reason: null, ...shared }
}

function meanFit(
  { curves, from_rpm, to_rpm, isRelative }: RangeQuestion,
  session: SessionInput,
  models: DriftModels,
): Modelled<ScalarOutcome> {
  const { values, width_rpm } = figureOf(curves, { kind: 'band-mean', quantity: 'power', from_rpm, to_rpm })
  return modelledFit({ ...session, values, width_rpm, isRelative }, models)
}

/** The band of a range of the curves, or why the range cannot be judged. */
export function bandInputOf(
  { curves, from_rpm, to_rpm, isRelative }: Pick<RangeQuestion, 'curves' | 'from_rpm' | 'to_rpm' | 'isRelative'>,
  session: SessionInput,
): Omit<BandInput, 't'> | 'not covered' | 'range too narrow' {
  const range = rangeOf(curves.grid, from_rpm, to_rpm)
  if (typeof range === 'string') return range
  const cut = (values: Float64Array) => values.slice(range.first, range.last + 1)
  return {
    ...session,
    curves: curves.power.map(cut),
    engineSpeed_rpm: cut(curves.grid.engineSpeed_rpm),
    from_rpm,
    to_rpm,
    gridStart_rpm: curves.grid.engineSpeed_rpm[0] ?? 0,
    gridEnd_rpm: curves.grid.engineSpeed_rpm.at(-1) ?? 0,
    isRelative,
  }
}

function rangePs({ shape, value }: RangeQuestion, outcome: BandOutcome): Ps {
  if (!outcome.ok || outcome.value.band === null) return NO_PS
  const { band } = outcome.value
  const z = standardised(outcome.value, band, value)
  const [smallest, largest] = [Math.min(...z), Math.max(...z)]
  const pointwise = (deviation: number) => Math.max(SMALLEST_P, studentT.sf(deviation, band.pointwiseDof))
  return shape === 'everywhere'
    ? { supportP: pointwise(smallest), contradictionP: simultaneousP(band.shape, -smallest) }
    : { supportP: simultaneousP(band.shape, largest), contradictionP: pointwise(-largest) }
}

/** z(r) = (D(r) − x)/u(r). */
function standardised({ gain }: GainBand, { u }: Band, value: number): Float64Array {
  return gain.map((difference, i) => (difference - value) / (u[i] ?? Number.NaN))
}

function extremesOf(
  band: Modelled<BandOutcome>,
  value: number,
  { engineSpeed_rpm }: Pick<BandInput, 'engineSpeed_rpm'>,
): RangeExtremes | null {
  const drawn = drawnGain(band)
  if (drawn === null) return null
  const at = (gain: number): Extreme => ({
    gain,
    engineSpeed_rpm: engineSpeed_rpm[drawn.gain.indexOf(gain)] ?? Number.NaN,
  })
  const main = band.main.ok ? band.main.value : null
  const z = main === null || main.band === null ? null : standardised(main, main.band, value)
  const speedOf = (extreme: (...values: number[]) => number) =>
    z === null ? null : (engineSpeed_rpm[z.indexOf(extreme(...z))] ?? null)
  return {
    smallest: at(Math.min(...drawn.gain)),
    largest: at(Math.max(...drawn.gain)),
    worst_rpm: speedOf(Math.min),
    best_rpm: speedOf(Math.max),
  }
}
