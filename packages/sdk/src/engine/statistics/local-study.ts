import { EngineError } from '../engine-error.ts'
import { gaussianKernel, smoothed } from '../numerics/gaussian-smooth.ts'
import { layoutOf } from './cells.ts'
import { GRID_RPM } from './grid.ts'
import { localNoiseOf } from './local-noise.ts'

/** Curves of one unchanged machine over one range. */
export interface LocalStudyInput {
  /** Smoothed curves on the grid, one per run. [unit], above 0 */
  readonly curves: readonly Float64Array[]
  /** Grid. [rpm], rising by 50 */
  readonly engineSpeed_rpm: Float64Array
  /** Mounting of each run. */
  readonly mountings: readonly string[]
}

/** Local noise of a facility, for its record. */
export interface LocalStudy {
  /** Relative sd at one engine speed, l. [1] */
  readonly localRelSd: number
  /** Correlation length, ℓ; null where the noise does not change along the curve. [rpm] */
  readonly localCorrelation_rpm: number | null
  /** Relative variance over engine speed. */
  readonly profile: { readonly engineSpeed_rpm: Float64Array; readonly weight_1: Float64Array }
  /** Degrees of freedom of the residual curves. [1] */
  readonly dof: number
}

/** Smoothing of the profile. [rpm] */
const PROFILE_SD_RPM = 500

/** Weight of a flat profile, in degrees of freedom. [1] */
const FLAT_DOF = 2

/**
 * Local noise, its correlation length and its profile from the residual curves of a study.
 *
 * Residuals as in measurement-model §5 with the mountings as cells; l² = v_l, ℓ = √(v_l/v_d), profile = (2 + J_d q)/(2 + J_d),
 * q = smoothed mean square (sd 500 rpm) over its mean, J_d = residual degrees of freedom.
 *
 * @param input two or more runs in at least one mounting.
 * @returns the local noise. Pure.
 * @throws EngineError `ERR_EMPTY` when no mounting holds two runs, or there are no curves; `ERR_LENGTH` when the lists differ.
 *
 * Source: measurement-model §9.3. Tested: tests/engine/statistics.
 */
export function localStudy({ curves, engineSpeed_rpm, mountings }: LocalStudyInput): LocalStudy {
  if (mountings.length !== curves.length || curves.some(({ length }) => length !== engineSpeed_rpm.length)) {
    throw new EngineError('ERR_LENGTH', 'curves, grid and mountings differ in length', 'curves')
  }
  const layout = layoutOf(
    mountings.map(() => 0),
    mountings,
  )
  const mean = engineSpeed_rpm.map((_, i) => curves.reduce((sum, curve) => sum + (curve[i] ?? 0), 0) / curves.length)
  const relative = curves.map((curve) => curve.map((power, i) => power / (mean[i] ?? 1)))
  const { dofWithin, variance, slopeVariance, squares } = localNoiseOf(relative, layout)
  if (variance === null) throw new EngineError('ERR_EMPTY', 'no mounting holds two runs', 'mountings')

  return {
    localRelSd: Math.sqrt(variance),
    localCorrelation_rpm: variance > 0 && slopeVariance > 0 ? Math.sqrt(variance / slopeVariance) : null,
    profile: { engineSpeed_rpm, weight_1: profileOf(squares, dofWithin, variance) },
    dof: dofWithin,
  }
}

function profileOf(squares: Float64Array, dof: number, variance: number): Float64Array {
  if (variance === 0) return new Float64Array(squares.length).fill(1)
  const course = smoothed(squares, gaussianKernel(squares.length, PROFILE_SD_RPM / GRID_RPM))
  const mean = course.reduce((sum, value) => sum + value, 0) / course.length
  return course.map((value) => (FLAT_DOF + (dof * value) / mean) / (FLAT_DOF + dof))
}
