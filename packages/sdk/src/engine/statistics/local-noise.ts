import { gaussianKernel, smoothed } from '../numerics/gaussian-smooth.ts'
import { groupMeans, type Layout } from './cells.ts'
import { type FacilityFigures, WHERE_SILENT } from './facility-record.ts'
import { GRID_RPM } from './grid.ts'

/** Noise along the engine speed, as the runs of a session show it. */
export interface LocalNoise {
  /** Degrees of freedom within the cells, never reduced. [1] */
  readonly dofWithin: number
  /** Mean square of the residual curves, v_l; null with no degree of freedom. [1] */
  readonly variance: number | null
  /** Mean square of their slope, v_d. [1/rpm²] */
  readonly slopeVariance: number
  /** Sum over the runs of the squared residual at each grid point. [1] */
  readonly squares: Float64Array
}

/** Variances up to this are rounding. [1] */
const ROUNDING = 1e-18

/** Smoothing of the noise profile. [rpm] */
const PROFILE_SD_RPM = 500

/** Weight of the recorded profile, in degrees of freedom. [1] */
const PROFILE_PRIOR_DOF = 10

/**
 * Local noise from relative curves: what is left of each after its cell's mean curve and its own mean.
 *
 * @param curves relative curves of a range, one per run. [1]
 * @param layout cells of the runs.
 * @returns mean squares. Pure; never throws. Source: measurement-model §5, local part.
 */
export function localNoiseOf(curves: readonly Float64Array[], layout: Layout): LocalNoise {
  const points = curves[0]?.length ?? 0
  const dofWithin = curves.length - layout.cells
  const squares = new Float64Array(points)
  if (dofWithin < 1) return { dofWithin, variance: null, slopeVariance: 0, squares }

  const residuals = residualCurves(curves, layout, points)
  let slopes = 0
  for (const residual of residuals) {
    for (let i = 0; i < points; i++) squares[i] = (squares[i] ?? 0) + (residual[i] ?? 0) ** 2
    for (let i = 1; i < points; i++) slopes += (((residual[i] ?? 0) - (residual[i - 1] ?? 0)) / GRID_RPM) ** 2
  }
  const variance = squares.reduce((sum, value) => sum + value, 0) / points / dofWithin
  return {
    dofWithin,
    variance: variance < ROUNDING ? 0 : variance,
    slopeVariance: slopes / Math.max(1, points - 1) / dofWithin,
    squares,
  }
}

function residualCurves(curves: readonly Float64Array[], { cellOf, cells }: Layout, points: number): Float64Array[] {
  const residuals = curves.map(() => new Float64Array(points))
  for (let point = 0; point < points; point++) {
    const column = Float64Array.from(curves, (curve) => curve[point] ?? 0)
    const means = groupMeans(column, cellOf, cells)
    column.forEach((value, run) => {
      const residual = residuals[run]
      if (residual !== undefined) residual[point] = value - (means[cellOf[run] ?? 0] ?? 0)
    })
  }
  return residuals.map((residual) => {
    const mean = residual.reduce((sum, value) => sum + value, 0) / points
    return residual.map((value) => value - mean)
  })
}

/**
 * Relative variance of the local noise over a range: the recorded profile, joined with what the runs show.
 *
 * w = (10 w0 + m q)/(10 + m), m = 1500 n_w/(√π ℓ), q = smoothed squares over their mean; w0 alone with fewer than two
 * degrees of freedom.
 *
 * @param noise of the runs.
 * @param record for the profile and ℓ.
 * @param engineSpeed_rpm grid points of the range. [rpm]
 * @returns w at each grid point. [1] Source: measurement-model §5.
 */
export function noiseProfile(noise: LocalNoise, record: FacilityFigures, engineSpeed_rpm: Float64Array): Float64Array {
  const recorded = recordedProfile(record, engineSpeed_rpm)
  if (noise.dofWithin < 2 || !((noise.variance ?? 0) > 0)) return recorded

  const correlation = record.localCorrelation_rpm ?? WHERE_SILENT.localCorrelation_rpm
  const kernel = gaussianKernel(engineSpeed_rpm.length, PROFILE_SD_RPM / GRID_RPM)
  const shape = overMean(smoothed(noise.squares, kernel))
  const m = (1500 * noise.dofWithin) / (Math.sqrt(Math.PI) * correlation)
  return recorded.map((w0, i) => (PROFILE_PRIOR_DOF * w0 + m * (shape[i] ?? 1)) / (PROFILE_PRIOR_DOF + m))
}

function recordedProfile(record: FacilityFigures, engineSpeed_rpm: Float64Array): Float64Array {
  const profile = record.localProfile
  if (profile === null || (record.repeatDof ?? 0) === 0) return new Float64Array(engineSpeed_rpm.length).fill(1)
  return overMean(engineSpeed_rpm.map((speed) => interpolated(profile.engineSpeed_rpm, profile.weight_1, speed)))
}

/** Linear interpolation, constant beyond the ends. */
function interpolated(xs: readonly number[], ys: readonly number[], x: number): number {
  const right = xs.findIndex((knot) => knot >= x)
  if (right === 0) return ys[0] ?? 1
  if (right < 0) return ys.at(-1) ?? 1
  const [a, b] = [xs[right - 1] ?? 0, xs[right] ?? 0]
  return (ys[right - 1] ?? 0) + ((x - a) / (b - a)) * ((ys[right] ?? 0) - (ys[right - 1] ?? 0))
}

function overMean(values: Float64Array): Float64Array {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  return values.map((value) => value / mean)
}
