import { median } from '../../numerics/median.ts'

/** Engine speed over roller speed as one run recorded it. */
export interface SpeedTrace {
  /** Engine speed of each sample, rising. [rpm] */
  readonly engineSpeed_rpm: Float64Array
  /** Roller surface speed of each sample. [m/s], above 0 */
  readonly rollerSpeed_m_per_s: Float64Array
}

/** Where the tyre carries little: so far above the first sample. [rpm] */
const LOW_LOAD_RPM = 1200

/** Engine speed over roller speed of each sample. [rpm s/m] */
export function speedRatios({ engineSpeed_rpm, rollerSpeed_m_per_s }: SpeedTrace): Float64Array {
  return engineSpeed_rpm.map((speed, i) => speed / (rollerSpeed_m_per_s[i] ?? Number.NaN))
}

/** Median ratio over the samples within 1,200 rpm of the first. [rpm s/m] */
export function lowLoadRatio(trace: SpeedTrace): number {
  const end = (trace.engineSpeed_rpm[0] ?? 0) + LOW_LOAD_RPM
  return median(speedRatios(trace).filter((_, i) => (trace.engineSpeed_rpm[i] ?? 0) <= end))
}
