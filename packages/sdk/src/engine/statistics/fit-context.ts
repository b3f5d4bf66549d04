import { bandVarianceShare } from './band-variance.ts'
import { centredWithinCells, dot, type Layout, layoutOf, type SideIndex } from './cells.ts'
import { checkDrift, type DriftCheck } from './drift-check.ts'
import { type FacilityFigures, WHERE_SILENT } from './facility-record.ts'
import { type Repeatability, repeatabilityOf } from './repeatability.ts'
import type { ScalarInput } from './scalar-input.ts'

/** What every term of one fit shares. */
export interface FitContext {
  /** The input. */
  readonly input: ScalarInput
  /** The record, with nothing declared where there is none. */
  readonly record: FacilityFigures
  /** Sides, mountings and cells. */
  readonly layout: Layout
  /** Figures, ln where relative. [unit] */
  readonly y: Float64Array
  /** Figures with a detected drift taken out; for variances only. [unit] */
  readonly detrended: Float64Array
  /** P0. [unit] */
  readonly level: number
  /** σ_r0. [unit] */
  readonly priorSd: number
  /** Trend within the cells. */
  readonly drift: DriftCheck
  /** Drift per unit of t, raised to the slope where one is detected. [unit] */
  readonly driftSd: number
  /** t minus its mean. [1] */
  readonly centredT: Float64Array
  /** Warm-up shape f; all 0 without the term. [1] */
  readonly warmUp: Float64Array
  /** Correction factors; all 1 where one is missing. [1] */
  readonly factors: Float64Array
  /** Whether neither side lies wholly before the other. */
  readonly isBracketed: boolean
  /** Within-cell degrees of freedom, less one after a detected drift. [1] */
  readonly dofWithin: number
  /** Pooled within-cell sd of the runs alone; null with no degree of freedom. [unit] */
  readonly withinSd: number | null
  /** Run-to-run variance. */
  readonly repeatability: Repeatability
}

/** Share of the level below which a within-cell deviation is rounding. [1] */
const ROUNDING = 1e-9

/** Share of the level that a rig resolves at best. [1] */
const RESOLUTION = 0.0005

/**
 * The groundwork of a fit: drift check and repeatability.
 *
 * @param input the input, already found usable.
 * @param record the record, already found consistent.
 * @param y figures, ln where relative. [unit]
 * @param level P0. [unit], above 0
 * @returns the context. Source: measurement-model §3.1 and §3.2.
 */
export function fitContext(input: ScalarInput, record: FacilityFigures, y: Float64Array, level: number): FitContext {
  const layout = layoutOf(input.sides, input.mountings)
  const priorSd = priorSdOf(record, level, input.width_rpm)
  const priorDof = record.repeatDof ?? 0
  const centred = centredWithinCells(y, layout)
  const rounding = y.length * (ROUNDING * level) ** 2
  const squares = dot(centred, centred)
  const sumOfSquares = squares <= rounding ? 0 : squares
  const dofWithin = y.length - layout.cells
  const drift = checkDrift({
    centred,
    centredT: input.isOrderKnown ? centredWithinCells(input.t, layout) : new Float64Array(y.length),
    sumOfSquares,
    dofWithin,
    priorSd,
    priorDof,
    rounding,
  })
  const tMean = input.t.reduce((sum, value) => sum + value, 0) / y.length
  const centredT = input.t.map((value) => value - tMean)
  const sessionT = input.sessionT ?? input.t
  const isBracketed = isBracketedBy(sessionT, input.sides)
  const dofLeft = drift.isDetected ? dofWithin - 1 : dofWithin
  const declaredDriftSd = level * (record.driftRelSdPerRun ?? WHERE_SILENT.driftRelSdPerRun)
  return {
    input,
    record,
    layout,
    y,
    detrended: drift.isDetected ? y.map((value, i) => value - drift.slope * (centredT[i] ?? 0)) : y,
    level,
    priorSd,
    drift,
    driftSd: drift.isDetected ? Math.max(declaredDriftSd, Math.abs(drift.slope)) : declaredDriftSd,
    centredT,
    warmUp: warmUpShape(sessionT, input.hasWarmUpTerm && !isBracketed),
    factors: knownFactors(input.factors),
    isBracketed,
    dofWithin: dofLeft,
    withinSd: dofWithin > 0 ? Math.sqrt(sumOfSquares / dofWithin) : null,
    repeatability: repeatabilityOf({
      sumOfSquares: drift.isDetected ? drift.residualSumOfSquares : sumOfSquares,
      dofWithin: dofLeft,
      priorVariance: priorSd * priorSd,
      priorDof,
      resolutionVariance: (RESOLUTION * level) ** 2,
    }),
  }
}

/** σ_r0 = P0 √(g² + l² h(W/ℓ)). [unit] */
export function priorSdOf(record: FacilityFigures, level: number, width_rpm: number): number {
  const g = record.repeatRelSd ?? WHERE_SILENT.repeatRelSd
  const l = record.localRelSd ?? WHERE_SILENT.localRelSd
  const share = bandVarianceShare(width_rpm, record.localCorrelation_rpm ?? WHERE_SILENT.localCorrelation_rpm)
  return level * Math.sqrt(g * g + l * l * share)
}

/**
 * Whether the sides are bracketed: not (the last of one before the first of the other).
 *
 * @param t drift covariate of each run. [1]
 * @param sides side of each run.
 */
export function isBracketedBy(t: Float64Array, sides: readonly SideIndex[]): boolean {
  const ends = (side: SideIndex) => {
    const own = [...t].filter((_, i) => sides[i] === side)
    return { first: Math.min(...own), last: Math.max(...own) }
  }
  const [baseline, modified] = [ends(0), ends(1)]
  return !(baseline.last < modified.first || modified.last < baseline.first)
}

/** f = 1 − e^{−t/2} with the term, only while the sides are not bracketed; else 0. */
function warmUpShape(t: Float64Array, hasTerm: boolean): Float64Array {
  return hasTerm ? t.map((value) => -Math.expm1(-value / 2)) : new Float64Array(t.length)
}

function knownFactors(factors: readonly (number | null)[]): Float64Array {
  const known = factors.flatMap((factor) => factor ?? [])
  return known.length === factors.length ? Float64Array.from(known) : new Float64Array(factors.length).fill(1)
}
