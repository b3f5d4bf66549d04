import type { SideIndex } from './cells.ts'
import { bandMean, type Grid, type RangeProblem, rangeOf, valueAt } from './grid.ts'
import { meanCurve, type PeakVertex, peakVertex, valueAtVertex } from './peak.ts'

/** The smoothed curves of all runs used, on their common grid. */
export interface CurveSet {
  /** The grid. */
  readonly grid: Grid
  /** Smoothed power, one curve per run. [unit] */
  readonly power: readonly Float64Array[]
  /** Side of each run. */
  readonly sides: readonly SideIndex[]
  /** Torque = power × this / engine speed. [N m rpm per unit of power] */
  readonly torqueFactor: number
}

/** Of what, and over which engine speeds, one number per run is taken. */
export type FigureSubject =
  | {
      readonly kind: 'band-mean'
      readonly quantity: 'power' | 'torque'
      readonly from_rpm: number
      readonly to_rpm: number
    }
  | { readonly kind: 'at-speed'; readonly quantity: 'power' | 'torque'; readonly at_rpm: number }
  | { readonly kind: 'peak'; readonly quantity: 'power' | 'torque' }

/** Why a figure cannot be judged. */
export type FigureProblem = RangeProblem | 'peak_not_reached'

/** One number per run. */
export interface Figure {
  /** The numbers, in run order; empty where the range is not covered. [unit] */
  readonly values: Float64Array
  /** Width of the band, 0 for others. [rpm] */
  readonly width_rpm: number
  /** Why it cannot be judged; null when it can. */
  readonly problem: FigureProblem | null
  /** Vertices of baseline and modified; null unless a peak. [rpm] */
  readonly where: readonly [number, number] | null
}

/**
 * One number per run from its curve.
 *
 * @param curves smoothed curves.
 * @param subject what is asked.
 * @returns the figure. Pure; never throws. Source: measurement-model §2 and §6.
 */
export function figureOf(curves: CurveSet, subject: FigureSubject): Figure {
  const values = subject.quantity === 'power' ? curves.power : torqueCurves(curves)
  if (subject.kind === 'peak') return peakFigure(values, curves)
  if (subject.kind === 'at-speed') {
    const at = values.map((curve) => valueAt(curve, curves.grid, subject.at_rpm))
    const problem = at.find((value) => typeof value === 'string')
    return problem === undefined
      ? { values: Float64Array.from(at, Number), width_rpm: 0, problem: null, where: null }
      : { values: new Float64Array(), width_rpm: 0, problem, where: null }
  }
  const range = rangeOf(curves.grid, subject.from_rpm, subject.to_rpm)
  const width_rpm = subject.to_rpm - subject.from_rpm
  return typeof range === 'string'
    ? { values: new Float64Array(), width_rpm, problem: range, where: null }
    : { values: Float64Array.from(values, (curve) => bandMean(curve, range)), width_rpm, problem: null, where: null }
}

/** Torque curves of smoothed power curves. [N m] */
export function torqueCurves({ power, grid, torqueFactor }: CurveSet): readonly Float64Array[] {
  return power.map((curve) => curve.map((value, i) => (value * torqueFactor) / (grid.engineSpeed_rpm[i] ?? 1)))
}

function peakFigure(values: readonly Float64Array[], { grid, sides }: CurveSet): Figure {
  const vertexOf = (side: SideIndex) =>
    peakVertex(meanCurve(values.filter((_, i) => sides[i] === side)), grid.engineSpeed_rpm)
  const vertices: readonly [PeakVertex, PeakVertex] = [vertexOf(0), vertexOf(1)]
  return {
    values: Float64Array.from(values, (curve, i) => valueAtVertex(curve, vertices[sides[i] ?? 0])),
    width_rpm: 0,
    problem: vertices.some(({ isAtEdge }) => isAtEdge) ? 'peak_not_reached' : null,
    where: [vertices[0].engineSpeed_rpm, vertices[1].engineSpeed_rpm],
  }
}
