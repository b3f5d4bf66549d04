import { studentT } from '../numerics/student-t.ts'
import { SMALLEST_P } from './interval.ts'

/** Trend of a figure within the cells. */
export interface DriftCheck {
  /** Slope per unit of t. [unit] */
  readonly slope: number
  /** |b| √S_tt / √v2; null without a test. [1] */
  readonly z: number | null
  /** Two-sided p; null without a test. [1] */
  readonly p: number | null
  /** Whether the trend is beyond t(0.995). */
  readonly isDetected: boolean
  /** Within-cell sum of squares left by the trend. [unit²] */
  readonly residualSumOfSquares: number
}

/** What the drift check works on. */
export interface DriftInput {
  /** Figures centred within their cells. [unit] */
  readonly centred: Float64Array
  /** Drift covariate centred within the cells. [1] */
  readonly centredT: Float64Array
  /** Within-cell sum of squares, with what is no more than rounding already 0. [unit²] */
  readonly sumOfSquares: number
  /** Its degrees of freedom. [1] */
  readonly dofWithin: number
  /** Prior standard deviation and degrees of freedom. [unit], [1] */
  readonly priorSd: number
  readonly priorDof: number
  /** Sums of squares up to this are rounding. [unit²] */
  readonly rounding: number
}

/**
 * Whether the runs of a cell rise or fall with time.
 *
 * b = Σ t̃ y / S_tt; v2 = (d_r σ_r0² + S2)/(d_r + ν_w − 1); z = |b| √(S_tt/v2).
 *
 * @param input centred figures and covariate with the prior.
 * @returns slope and test. Pure; never throws.
 *
 * Source: measurement-model §3.1. Tested: tests/vectors, scalar.
 */
export function checkDrift({
  centred,
  centredT,
  sumOfSquares,
  dofWithin,
  priorSd,
  priorDof,
  rounding,
}: DriftInput): DriftCheck {
  const stt = centredT.reduce((sum, value) => sum + value * value, 0)
  if (!(stt > 0)) return untested(0, sumOfSquares)

  const slope = sumOfSquares === 0 ? 0 : centredT.reduce((sum, value, i) => sum + value * (centred[i] ?? 0), 0) / stt
  const left = Math.max(0, sumOfSquares - slope * slope * stt)
  const residualSumOfSquares = left <= rounding ? 0 : left
  const dof = priorDof + dofWithin - 1
  if (dof < 1) return untested(slope, residualSumOfSquares)
  if (sumOfSquares === 0) return { slope, z: 0, p: 1, isDetected: false, residualSumOfSquares }

  const variance = (priorDof * priorSd * priorSd + residualSumOfSquares) / dof
  if (!(variance > 0)) {
    return slope === 0
      ? { slope, z: 0, p: 1, isDetected: false, residualSumOfSquares }
      : { slope, z: null, p: SMALLEST_P, isDetected: true, residualSumOfSquares }
  }
  const z = Math.abs(slope) * Math.sqrt(stt / variance)
  const p = Math.max(SMALLEST_P, 2 * studentT.sf(z, dof))
  return { slope, z, p, isDetected: z > studentT.quantile(0.995, dof), residualSumOfSquares }
}

function untested(slope: number, residualSumOfSquares: number): DriftCheck {
  return { slope, z: null, p: null, isDetected: false, residualSumOfSquares }
}
