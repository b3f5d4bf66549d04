import type { Session } from '../inputs/session.ts'
import { toSI } from '../physics/units.ts'
import { type CurveSet, type Figure, type FigureSubject, figureOf } from '../statistics/figure.ts'

const NOT_COVERED: Figure = { values: new Float64Array(), width_rpm: 0, problem: 'not covered', where: null }

/**
 * One number per used run: from the curves, or as printed where a run was only reported.
 *
 * @param session the session.
 * @param curves curves in the correction that is asked for; null where a run has none.
 * @param factors multiplier from exported to that correction, one per used run. [1]
 * @param subject what is asked.
 * @returns the figure in W or N m. Pure; never throws.
 */
export function sessionFigure(
  session: Session,
  curves: CurveSet | null,
  factors: readonly number[],
  subject: FigureSubject,
): Figure {
  if (curves !== null) return figureOf(curves, subject)
  return subject.kind === 'peak' ? reportedPeak(session, factors, subject.quantity) : NOT_COVERED
}

/** Printed peaks of all used runs. Source: measurement-model §2; for reported runs y is the printed figure, W = 0. */
function reportedPeak({ used }: Session, factors: readonly number[], quantity: 'power' | 'torque'): Figure {
  const values = used.flatMap(({ wire }, i) => {
    const { peakPower, peakTorque } = wire.reported ?? {}
    const printed =
      quantity === 'power' ? peakPower && toSI('power', peakPower) : peakTorque && toSI('torque', peakTorque)
    return printed === undefined ? [] : [printed * (factors[i] ?? 1)]
  })
  if (values.length < used.length) return NOT_COVERED
  return { values: Float64Array.from(values), width_rpm: 0, problem: null, where: null }
}
