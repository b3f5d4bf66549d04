import { NOISE_GRID_RPM } from './noise.ts'
import type { TrueRun } from './truth.ts'

/** Standard deviation of the smoothing that every curve is given before it is read off. [rpm] */
const SMOOTHING_SD_RPM = 100

/** A curve on the grid. */
export interface GridCurve {
  readonly speed_rpm: Float64Array
  readonly power_W: Float64Array
}

/** The corrected curve of a run under a Gaussian of 100 rpm, renormalised at the ends. */
export function gaussianSmoothed({ speed_rpm, correctedPower_W }: TrueRun): GridCurve {
  const reach = Math.ceil((6 * SMOOTHING_SD_RPM) / NOISE_GRID_RPM)
  const power_W = correctedPower_W.map((_, k) => {
    let sum = 0
    let weights = 0
    for (let j = Math.max(0, k - reach); j <= Math.min(correctedPower_W.length - 1, k + reach); j += 1) {
      const weight = Math.exp(-((((j - k) * NOISE_GRID_RPM) / SMOOTHING_SD_RPM) ** 2) / 2)
      sum += weight * (correctedPower_W[j] ?? 0)
      weights += weight
    }
    return sum / weights
  })
  return { speed_rpm, power_W }
}

/** Mean of a curve over the grid points of a band, ends included. [W] */
export function meanOver({ speed_rpm, power_W }: GridCurve, band: { from_rpm: number; to_rpm: number }): number {
  let sum = 0
  let count = 0
  for (let k = 0; k < speed_rpm.length; k += 1) {
    const speed = speed_rpm[k] ?? Number.NaN
    if (speed >= band.from_rpm && speed <= band.to_rpm) {
      sum += power_W[k] ?? 0
      count += 1
    }
  }
  return sum / count
}

/** Highest value of a curve on the grid. [W] */
export function highest({ power_W }: GridCurve): number {
  return power_W.reduce((best, power) => Math.max(best, power), 0)
}
