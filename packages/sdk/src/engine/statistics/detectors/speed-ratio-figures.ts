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
  const ratios = new Float64Array(engineSpeed_rpm.length)
  for (let i = 0; i < ratios.length; i++)
    ratios[i] = (engineSpeed_rpm[i] ?? Number.NaN) / (rollerSpeed_m_per_s[i] ?? Number.NaN)
  return ratios
}

/** Median ratio over the samples within 1,200 rpm of the first. [rpm s/m] */
export function lowLoadRatio(trace: SpeedTrace): number {
  const { engineSpeed_rpm } = trace
  const end = (engineSpeed_rpm[0] ?? 0) + LOW_LOAD_RPM
  const after = engineSpeed_rpm.findIndex((speed) => speed > end)
  return medianRatio(trace, 0, after === -1 ? engineSpeed_rpm.length : after)
}

/** Median ratio over the samples from one place to before another. [rpm s/m] */
export function medianRatio({ engineSpeed_rpm, rollerSpeed_m_per_s }: SpeedTrace, from: number, to: number): number {
  return median(
    speedRatios({
      engineSpeed_rpm: engineSpeed_rpm.subarray(from, to),
      rollerSpeed_m_per_s: rollerSpeed_m_per_s.subarray(from, to),
    }),
  )
}
