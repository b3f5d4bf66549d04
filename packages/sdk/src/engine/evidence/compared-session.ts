import type { Session } from '../inputs/session.ts'
import type { ComparedCurves } from '../statistics/detectors/detection.ts'
import { type NoiseScale, noiseScale } from '../statistics/detectors/noise-scale.ts'
import type { FacilityFigures } from '../statistics/facility-record.ts'
import type { CurveSet } from '../statistics/figure.ts'
import type { SessionCorrection } from './correction.ts'
import type { SessionCurves } from './curves.ts'

/** What the detectors look at. */
export interface ComparedSession {
  /** Curves of all used runs in the judged correction, with where each stands. */
  readonly curves: ComparedCurves
  /** Noise sizes to measure against. */
  readonly scale: NoiseScale
}

interface ComparedInput {
  readonly session: Session
  readonly exported: SessionCurves | null
  readonly curves: CurveSet | null
  readonly correction: SessionCorrection
  readonly record: FacilityFigures
}

/**
 * The session as the detectors look at it.
 *
 * @param input session, curves as exported and as judged, correction, facility figures.
 * @returns curves and noise sizes; null where there are no curves on a common grid. Pure; never throws.
 *
 * Source: measurement-model §8.
 */
export function comparedSession({
  session,
  exported,
  curves,
  correction,
  record,
}: ComparedInput): ComparedSession | null {
  if (exported === null || curves === null) return null
  const compared: ComparedCurves = {
    engineSpeed_rpm: curves.grid.engineSpeed_rpm,
    raw: exported.raw.map((curve, i) => scaled(curve, correction.toJudged[i] ?? 1)),
    smooth: curves.power,
    sides: curves.sides,
    mountings: session.used.map(({ mounting }) => mounting),
  }
  return { curves: compared, scale: noiseScale(compared, record) }
}

function scaled(curve: Float64Array, factor: number): Float64Array {
  return factor === 1 ? curve : curve.map((value) => value * factor)
}
