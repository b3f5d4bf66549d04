import type { Claim } from '../../contract/claim.ts'
import type { Evidence } from '../evidence/evidence.ts'
import { sessionFigure } from '../evidence/figures.ts'
import { rpmOf, subjectOf } from '../evidence/subject.ts'
import { toSI } from '../physics/units.ts'
import { type CurveSet, torqueCurves } from '../statistics/figure.ts'
import { lnToPercent, type Printed } from './interval-view.ts'
import type { ClaimQuestion } from './question.ts'

/** A claim with the question it puts to the data. */
export interface AskedClaim {
  /** The claim as submitted. */
  readonly claim: Claim
  /** The question; null where no curve can answer it. */
  readonly question: ClaimQuestion | null
  /** From the scale of the analysis to the unit of the claim. */
  readonly printed: Printed
  /** Unit of the claim per unit of the analysis. */
  readonly scale: number
}

/**
 * The questions that the claims of a comparison put to its data.
 *
 * @param evidence the evidence.
 * @returns one per claim, in order. Pure; never throws. Source: measurement-model §4 and §7.
 */
export function askedClaims(evidence: Evidence): readonly AskedClaim[] {
  return (evidence.session.comparison.claims ?? []).map((claim) => {
    const isRelative = claim.gain.unit === '%'
    const perUnit = isRelative ? 1 : siPerUnit(claim)
    return {
      claim,
      question: questionOf(evidence, claim, isRelative, perUnit),
      printed: isRelative ? lnToPercent : (value) => value / perUnit,
      scale: isRelative ? 100 : 1 / perUnit,
    }
  })
}

/** W or N m per unit of an absolute claim. */
function siPerUnit({ quantity, gain }: Claim): number {
  return quantity === 'wheel-power'
    ? toSI('power', { value: 1, unit: gain.unit as 'W' })
    : toSI('torque', { value: 1, unit: gain.unit as 'N m' })
}

function questionOf(evidence: Evidence, claim: Claim, isRelative: boolean, perUnit: number): ClaimQuestion | null {
  const scaled = (value: number) => (isRelative ? Math.log1p(value / 100) : value * perUnit)
  const { over, gain, relation, tolerance } = claim
  if (over.kind === 'everywhere' || over.kind === 'no-loss' || over.kind === 'anywhere') {
    const curves = curvesOfQuantity(evidence, claim)
    const shape = over.kind === 'anywhere' ? 'anywhere' : 'everywhere'
    return curves === null
      ? null
      : { shape, curves, from_rpm: rpmOf(over.from), to_rpm: rpmOf(over.to), value: scaled(gain.value), isRelative }
  }
  const subject = subjectOf(claim)
  if (subject === null) return null
  const half = relation === 'equals-within' ? (tolerance?.value ?? 0) : 0
  return {
    shape: 'figure',
    figure: sessionFigure(evidence.session, evidence.curves, evidence.correction.toJudged, subject),
    relation,
    lower: scaled(gain.value - half),
    upper: scaled(gain.value + half),
    isRelative,
  }
}

function curvesOfQuantity({ curves }: Evidence, { quantity }: Claim): CurveSet | null {
  if (curves === null || quantity === 'wheel-power') return curves
  return { ...curves, power: torqueCurves(curves) }
}
