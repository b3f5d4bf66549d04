import { chiSquare } from '../../numerics/chi-square.ts'
import { roundSignificant } from '../../numerics/round-significant.ts'
import type { ComparedCurves, Detection } from './detection.ts'
import { type NoiseScale, overallMean } from './noise-scale.ts'

/** Share of honest noise below which two curves are one recording, at most; and the chance an honest pair gets there. [1] */
const COPY_LIMIT = 0.15
const HONEST_P = 1e-5

/**
 * Pairs of runs whose curves are closer to each other than two recordings can be: copied, shifted, rescaled or re-noised.
 *
 * d = (raw_i − raw_j)/mean of all, less its least-squares line over engine speed. Observed: rms d/(√2 l). [1] Limit:
 * min(0.15, √(χ²inv(1e-5; n_e)/n_e)), n_e = max(1, G/(√π ℓ_s) − 2).
 *
 * @param curves of all runs.
 * @param scale noise sizes.
 * @returns one detection per pair beyond the limit, earlier run first, in run order. Pure; never throws.
 *
 * Source: measurement-model §8, no-duplicate-runs. Tested: tests/vectors, detect.
 */
export function duplicateRuns(curves: ComparedCurves, scale: NoiseScale): readonly Detection[] {
  const limit = duplicateLimit(curves.engineSpeed_rpm, scale)
  const shapes = detrendedShapes(curves)
  const inNoise = Math.SQRT2 * scale.localRelSd
  return shapes.flatMap((first, i) =>
    shapes.slice(i + 1).flatMap((second, k) => {
      const observed = rmsDifference(first, second) / inNoise
      return roundSignificant(observed) < limit ? [{ observed, limit, isBroken: true, runs: [i, i + 1 + k] }] : []
    }),
  )
}

/** Distance, in honest noise, below which two curves are one recording. [1] */
export function duplicateLimit(engineSpeed_rpm: Float64Array, { sessionCorrelation_rpm }: NoiseScale): number {
  const span = (engineSpeed_rpm.at(-1) ?? 0) - (engineSpeed_rpm[0] ?? 0)
  const independent = Math.max(1, span / (Math.sqrt(Math.PI) * sessionCorrelation_rpm) - 2)
  return Math.min(COPY_LIMIT, Math.sqrt(chiSquare.quantile(HONEST_P, independent) / independent))
}

/** Each curve over the mean of all, less its line: the line is linear in the curve, so pairs need no line of their own. */
function detrendedShapes({ engineSpeed_rpm, raw, smooth }: ComparedCurves): readonly Float64Array[] {
  const overall = overallMean(smooth)
  const middle = ((engineSpeed_rpm[0] ?? 0) + (engineSpeed_rpm.at(-1) ?? 0)) / 2
  const x = engineSpeed_rpm.map((speed) => speed - middle)
  const squares = x.reduce((sum, value) => sum + value * value, 0)
  return raw.map((curve) => {
    const shape = curve.map((power, i) => power / (overall[i] ?? 1))
    const mean = shape.reduce((sum, value) => sum + value, 0) / shape.length
    const slope = shape.reduce((sum, value, i) => sum + value * (x[i] ?? 0), 0) / (squares || 1)
    return shape.map((value, i) => value - mean - slope * (x[i] ?? 0))
  })
}

function rmsDifference(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += ((a[i] ?? 0) - (b[i] ?? 0)) ** 2
  return Math.sqrt(sum / a.length)
}
