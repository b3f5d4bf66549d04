import type { Protocol } from '../../contract/protocol.ts'
import type { ConditionalInterval, Gain, GainSubject, Gains } from '../../contract/result.ts'
import { conditionalInput, GROUP_NAMES, plainAllowance } from '../claims/conditional.ts'
import { asMountedView, intervalView, lnToPercent } from '../claims/interval-view.ts'
import { scaledCurves } from '../evidence/curves.ts'
import type { Evidence } from '../evidence/evidence.ts'
import { sessionFigure } from '../evidence/figures.ts'
import { subjectOf } from '../evidence/subject.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import { modelledFit } from '../statistics/drift-models.ts'
import type { CurveSet, FigureSubject } from '../statistics/figure.ts'
import type { SessionInput } from '../statistics/session-input.ts'
import { gainCurve } from './gain-curve.ts'

/** One correction's worth of figures. */
interface FigureSource {
  readonly curves: CurveSet | null
  readonly factors: readonly number[]
  readonly input: SessionInput
}

/**
 * The gains of a comparison: headline, whole range, peaks and every claimed figure, corrected and uncorrected.
 *
 * @param evidence the evidence.
 * @param protocol for the values of conditional answers.
 * @returns the gains. Pure; never throws.
 */
export function gainsOf(evidence: Evidence, protocol: Protocol): Gains {
  const { correction, session, exported, input } = evidence
  const judged: FigureSource = { curves: evidence.curves, factors: correction.toJudged, input }
  const places = new Set(session.used.map(({ processing }) => processing.measuredAt))
  const [place] = places
  const subjects = subjectsOf(evidence)
  const raw = correction.toUncorrected
  const uncorrected: FigureSource | null =
    raw === null || correction.correction === 'none'
      ? null
      : {
          curves: exported === null ? null : scaledCurves(exported.smoothed, raw),
          factors: raw,
          input: { ...input, factors: input.factors.map(() => 1) },
        }
  return {
    correction: correction.correction,
    measuredAt: places.size === 1 && place !== undefined ? place : 'not-recorded',
    corrected: subjects.flatMap((subject) => gainOf(evidence, subject, judged, protocol) ?? []),
    uncorrected:
      uncorrected === null ? [] : subjects.flatMap((subject) => gainOf(evidence, subject, uncorrected, protocol) ?? []),
    curve: gainCurve(evidence),
  }
}

/** The headline first, then the whole range, the peaks and what is claimed; each once. */
function subjectsOf({ headline, curves, session }: Evidence): readonly FigureSubject[] {
  const speeds = curves?.grid.engineSpeed_rpm
  const whole: FigureSubject[] =
    speeds === undefined
      ? []
      : [{ kind: 'band-mean', quantity: 'power', from_rpm: speeds[0] ?? 0, to_rpm: speeds.at(-1) ?? 0 }]
  const claimed = (session.comparison.claims ?? []).flatMap((claim) => subjectOf(claim) ?? [])
  const all: readonly FigureSubject[] = [
    ...(headline === null ? [] : [headline.subject]),
    ...whole,
    { kind: 'peak', quantity: 'power' },
    { kind: 'peak', quantity: 'torque' },
    ...claimed,
  ]
  return [...new Map(all.map((subject) => [JSON.stringify(subject), subject])).values()]
}

function gainOf(
  evidence: Evidence,
  subject: FigureSubject,
  { curves, factors, input }: FigureSource,
  protocol: Protocol,
): Gain | null {
  const figure = sessionFigure(evidence.session, curves, factors, subject)
  if (figure.problem !== null || figure.values.length === 0) return null
  const fit = (isRelative: boolean, shared: SessionInput) =>
    modelledFit({ ...shared, values: figure.values, width_rpm: figure.width_rpm, isRelative }, evidence.models)
  const relative = fit(true, input)
  if (!relative.main.ok) return null
  const unitScale = subject.quantity === 'power' ? 1 / 1000 : 1
  const allowance = plainAllowance(evidence, protocol)(subject.quantity)
  const level = (side: 0 | 1) => roundSignificant(meanOfSide(figure.values, input.sides, side) * unitScale)
  return {
    of: subjectView(subject),
    baseline: level(0),
    modified: level(1),
    unit: subject.quantity === 'power' ? 'kW' : 'N m',
    absolute: intervalView(fit(false, input), (value) => value * unitScale, unitScale, allowance),
    relative: intervalView(relative, lnToPercent, 100, allowance),
    asMounted: asMountedView(relative.main.fit, lnToPercent, 100, allowance),
    conditional:
      relative.main.fit.interval === null
        ? conditionalView(evidence, protocol, subject, (record) => fit(true, { ...input, record }))
        : null,
  }
}

function conditionalView(
  evidence: Evidence,
  protocol: Protocol,
  { quantity }: FigureSubject,
  fitWith: (record: SessionInput['record']) => ReturnType<typeof modelledFit>,
): ConditionalInterval | null {
  const { on, filled, input: filledInput, allowanceOf } = conditionalInput(evidence, protocol)
  const relative = intervalView(fitWith(filledInput.record), lnToPercent, 100, allowanceOf(quantity))
  if (relative.low === null) return null
  return { on, filled: filled.map((group) => GROUP_NAMES[group]), relative }
}

function meanOfSide(values: Float64Array, sides: SessionInput['sides'], side: 0 | 1): number {
  const own = values.filter((_, i) => sides[i] === side)
  return own.reduce((sum, value) => sum + value, 0) / own.length
}

/** A figure as the result names it. */
export function subjectView(subject: FigureSubject): GainSubject {
  const quantity = subject.quantity === 'power' ? 'wheel-power' : 'wheel-torque'
  if (subject.kind === 'peak') return { quantity, kind: 'peak', from_rpm: null, to_rpm: null }
  if (subject.kind === 'at-speed') return { quantity, kind: 'at-speed', from_rpm: subject.at_rpm, to_rpm: null }
  return { quantity, kind: 'band-mean', from_rpm: subject.from_rpm, to_rpm: subject.to_rpm }
}
