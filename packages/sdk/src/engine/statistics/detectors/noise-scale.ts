import { median } from '../../numerics/median.ts'
import { type FacilityFigures, WHERE_SILENT } from '../facility-record.ts'
import { GRID_RPM } from '../grid.ts'
import { type ComparedCurves, meanOf, runsByCell } from './detection.ts'

/** The noise sizes that the detectors measure against. */
export interface NoiseScale {
  /** Degrees of freedom of the sizes, d0. [1] */
  readonly dof: number
  /** Run-to-run relative sd, g. [1] */
  readonly globalRelSd: number
  /** Relative sd along the curve, l. [1] */
  readonly localRelSd: number
  /** Correlation length of the noise as the runs show it, never below the recorded one, ℓ_s. [rpm] */
  readonly sessionCorrelation_rpm: number
  /** Whether the sizes were taken from the session because nothing is recorded and its runs are noisier than usual. */
  readonly isFromSession: boolean
}

/** Degrees of freedom where no repeatability is recorded. [1] Source: measurement-model §8. */
const UNRECORDED_DOF = 4

/** Above these the session's own sizes are used where none is recorded. [1] Source: measurement-model §8. */
const LOUD = { globalRelSd: 0.015, localRelSd: 0.009 } as const

/** Median absolute deviation of a normal distribution in standard deviations. [1] */
const MEDIAN_PER_SD = 0.6745

const EMPTY = new Float64Array()

/** Sizes seen between the runs of one cell; all 0 and no length where no cell holds two runs. */
interface PairScale {
  readonly globalRelSd: number
  readonly localRelSd: number
  readonly correlation_rpm: number
}

/**
 * The noise sizes for the detectors: the recorded ones, or the session's where none is recorded and the runs are loud.
 *
 * @param curves of all runs.
 * @param record facility figures. [1], [rpm]
 * @returns the scale. Pure; never throws. Source: measurement-model §8, session scale.
 */
export function noiseScale(curves: ComparedCurves, record: FacilityFigures): NoiseScale {
  const seen = pairScale(curves)
  const recordedCorrelation = record.localCorrelation_rpm ?? WHERE_SILENT.localCorrelation_rpm
  const sessionCorrelation_rpm = Math.max(recordedCorrelation, seen.correlation_rpm)
  const globalRelSd = record.repeatRelSd ?? WHERE_SILENT.repeatRelSd
  const localRelSd = record.localRelSd ?? WHERE_SILENT.localRelSd
  const dof = record.repeatDof ?? UNRECORDED_DOF
  const isLoud = seen.globalRelSd > LOUD.globalRelSd || seen.localRelSd > LOUD.localRelSd
  if (record.repeatRelSd !== null || !isLoud) {
    return { dof, globalRelSd, localRelSd, sessionCorrelation_rpm, isFromSession: false }
  }
  return {
    dof,
    globalRelSd: Math.max(WHERE_SILENT.repeatRelSd, seen.globalRelSd),
    localRelSd: Math.max(WHERE_SILENT.localRelSd, seen.localRelSd),
    sessionCorrelation_rpm,
    isFromSession: true,
  }
}

/** sG, sL and the correlation length from all pairs of runs that share a cell. */
function pairScale(curves: ComparedCurves): PairScale {
  const { means, residuals } = relativeCurves(curves)
  const pairs = runsByCell(curves).flatMap((runs) =>
    runs.flatMap((i, k) => runs.slice(k + 1).map((j) => [i, j] as const)),
  )
  if (pairs.length === 0) return { globalRelSd: 0, localRelSd: 0, correlation_rpm: 0 }

  const globals = pairs.map(([i, j]) => Math.abs((means[i] ?? 0) - (means[j] ?? 0)))
  const squares = pairs.map(([i, j]) => differenceSquares(residuals[i], residuals[j]))
  const level = median(squares.map((pair) => pair.level))
  const slope = median(squares.map((pair) => pair.slope))
  return {
    globalRelSd: median(globals) / (MEDIAN_PER_SD * Math.SQRT2),
    localRelSd: median(squares.map((pair) => Math.sqrt(pair.level / 2))),
    correlation_rpm: level > 0 && slope > 0 ? Math.sqrt(level / slope) : 0,
  }
}

/** Each curve over the mean of all: its mean, and what is left of it. */
function relativeCurves({ smooth }: ComparedCurves): { means: Float64Array; residuals: readonly Float64Array[] } {
  const overall = overallMean(smooth)
  const ratios = smooth.map((curve) => curve.map((value, i) => value / (overall[i] ?? 1)))
  const means = Float64Array.from(ratios, meanOf)
  return { means, residuals: ratios.map((ratio, run) => ratio.map((value) => value - (means[run] ?? 0))) }
}

/** Mean of all runs at each grid point. [unit] */
export function overallMean(curves: readonly Float64Array[]): Float64Array {
  const mean = new Float64Array(curves[0]?.length ?? 0)
  for (const curve of curves) for (let i = 0; i < mean.length; i++) mean[i] = (mean[i] ?? 0) + (curve[i] ?? 0)
  return mean.map((sum) => sum / curves.length)
}

/**
 * Mean square of a difference of curves, and of its forward slope. [1], [1/rpm²]
 *
 * One pass without a curve in between: there are as many pairs as half the square of the runs.
 */
function differenceSquares(
  a: Float64Array = EMPTY,
  b: Float64Array = EMPTY,
): { readonly level: number; readonly slope: number } {
  let level = 0
  let slope = 0
  let last = 0
  for (let i = 0; i < a.length; i++) {
    const difference = (a[i] ?? 0) - (b[i] ?? 0)
    level += difference * difference
    const step = i === 0 ? 0 : (difference - last) / GRID_RPM
    slope += step * step
    last = difference
  }
  return { level: level / a.length, slope: slope / (a.length - 1) }
}
