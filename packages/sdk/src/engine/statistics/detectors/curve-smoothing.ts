import { median } from '../../numerics/median.ts'
import { roundSignificant } from '../../numerics/round-significant.ts'
import { type ComparedCurves, type Detection, meanOf } from './detection.ts'

/** Largest ratio of the sides' high-frequency power, as its logarithm. [1] Source: measurement-model §8. */
const SMOOTHING_LIMIT = Math.log(2.5)

/** Power below this counts as this, so that its logarithm exists. [unit] */
const LEAST_POWER = 1e-3

/** The detection, and which side is the smoother. */
export interface SmoothingDetection extends Detection {
  /** The side with less high-frequency power; null where the limit holds. */
  readonly smootherSide: 0 | 1 | null
}

/**
 * Whether one side's curves were smoothed more than the other's before they were handed in.
 *
 * hf_i = mean of the squared second difference of ln power. Observed: |ln(median hf of modified / of baseline)|. [1] Named:
 * the runs of the smoother side.
 *
 * @param curves of all runs; the unsmoothed ones are looked at.
 * @returns the detection. Pure; never throws. Source: measurement-model §8, processing-matched. Tested: tests/vectors, detect.
 */
export function curveSmoothing({ raw, sides }: Pick<ComparedCurves, 'raw' | 'sides'>): SmoothingDetection {
  const roughness = raw.map(roughnessOf)
  const [baseline, modified] = ([0, 1] as const).map((side) => median(roughness.filter((_, i) => sides[i] === side)))
  const logRatio = Math.log((modified ?? Number.NaN) / (baseline ?? Number.NaN))
  const isBroken = roundSignificant(Math.abs(logRatio)) > roundSignificant(SMOOTHING_LIMIT)
  const smootherSide = !isBroken ? null : logRatio > 0 ? 0 : 1
  const runs = sides.flatMap((side, i) => (side === smootherSide ? [i] : []))
  return { observed: Math.abs(logRatio), limit: SMOOTHING_LIMIT, isBroken, runs, smootherSide }
}

/** Mean squared second difference of ln power along the grid. [1] */
function roughnessOf(power: Float64Array): number {
  const log = power.map((value) => Math.log(Math.max(value, LEAST_POWER)))
  const second = log.subarray(2).map((value, i) => value - 2 * (log[i + 1] ?? 0) + (log[i] ?? 0))
  return meanOf(second.map((value) => value * value))
}
