import { GRID_RPM } from './grid.ts'

/** The peak of one side's mean curve, as weights on three neighbouring grid points. */
export interface PeakVertex {
  /** Grid point of the first maximum. */
  readonly index: number
  /** Distance of the vertex from it. [grid steps], −0.5 to 0.5 */
  readonly offset: number
  /** Engine speed of the vertex. [rpm] */
  readonly engineSpeed_rpm: number
  /** Whether the maximum lies at an end of the grid, so that the peak was not reached. */
  readonly isAtEdge: boolean
}

/**
 * The vertex of the parabola through the maximum of a mean curve and its neighbours.
 *
 * d = (m_{j−1} − m_{j+1}) / (2 (m_{j−1} − 2 m_j + m_{j+1})), clipped to ±0.5, 0 where the bracket is not negative.
 *
 * @param mean mean of the smoothed curves of one side. [unit]
 * @param engineSpeed_rpm the grid. [rpm]
 * @returns the vertex. Pure; never throws. Source: measurement-model §6. Tested: tests/vectors, peak.
 */
export function peakVertex(mean: Float64Array, engineSpeed_rpm: Float64Array): PeakVertex {
  let index = 0
  for (let i = 1; i < mean.length; i++) if ((mean[i] ?? 0) > (mean[index] ?? 0)) index = i
  const at = engineSpeed_rpm[index] ?? 0
  if (index === 0 || index === mean.length - 1) return { index, offset: 0, engineSpeed_rpm: at, isAtEdge: true }

  const [before, top, after] = [mean[index - 1] ?? 0, mean[index] ?? 0, mean[index + 1] ?? 0]
  const bracket = before - 2 * top + after
  const offset = bracket >= 0 ? 0 : Math.min(0.5, Math.max(-0.5, (before - after) / (2 * bracket)))
  return { index, offset, engineSpeed_rpm: at + GRID_RPM * offset, isAtEdge: false }
}

/**
 * One run's value at its side's vertex.
 *
 * y = y_{j−1} d(d − 1)/2 + y_j (1 − d²) + y_{j+1} d(d + 1)/2; the edge value where the peak was not reached.
 *
 * @param values smoothed curve of the run. [unit]
 * @param vertex of its side.
 * @returns [unit]
 */
export function valueAtVertex(values: Float64Array, { index, offset: d, isAtEdge }: PeakVertex): number {
  const top = values[index] ?? 0
  if (isAtEdge) return top
  return ((values[index - 1] ?? 0) * d * (d - 1)) / 2 + top * (1 - d * d) + ((values[index + 1] ?? 0) * d * (d + 1)) / 2
}

/** Plain mean of curves on one grid. [unit] */
export function meanCurve(curves: readonly Float64Array[]): Float64Array {
  const mean = new Float64Array(curves[0]?.length ?? 0)
  for (const curve of curves) for (let i = 0; i < mean.length; i++) mean[i] = (mean[i] ?? 0) + (curve[i] ?? 0)
  return mean.map((sum) => sum / curves.length)
}
