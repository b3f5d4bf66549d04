/** What one run's trace is like. */
export interface TraceQuality {
  /** Points per 1,000 rpm. [1] */
  readonly density: number
  /** Largest step from point to point. [rpm] */
  readonly largestGap_rpm: number
  /** Smallest throttle inside the band over the largest of the run; null without the channel. [1], 0 to 1 */
  readonly throttle: number | null
  /** Whether the run reaches over the whole band. */
  readonly isCovered: boolean
}

/**
 * How densely and how wide a run was recorded, and whether the throttle was held open.
 *
 * @param engineSpeed_rpm engine speed of each point, rising; at least two. [rpm]
 * @param throttle throttle of each point, in any unit; null without the channel.
 * @param band the claimed band. [rpm]
 * @returns the figures. Pure; never throws. Source: measurement-model §8, trace-sound; common practice. Tested: tests/vectors, checks.
 */
export function traceQuality(
  engineSpeed_rpm: Float64Array,
  throttle: Float64Array | null,
  band: { readonly from_rpm: number; readonly to_rpm: number },
): TraceQuality {
  const first = engineSpeed_rpm[0] ?? Number.NaN
  const last = engineSpeed_rpm.at(-1) ?? Number.NaN
  return {
    density: ((engineSpeed_rpm.length - 1) / (last - first)) * 1000,
    largestGap_rpm: largestStep(engineSpeed_rpm),
    throttle: throttle === null ? null : heldThrottle(engineSpeed_rpm, throttle, band),
    isCovered: first <= band.from_rpm && band.to_rpm <= last,
  }
}

function largestStep(values: Float64Array): number {
  let largest = 0
  for (let i = 1; i < values.length; i++) largest = Math.max(largest, (values[i] ?? 0) - (values[i - 1] ?? 0))
  return largest
}

/** Null where no point lies inside the band. */
function heldThrottle(
  speeds: Float64Array,
  throttle: Float64Array,
  { from_rpm, to_rpm }: { readonly from_rpm: number; readonly to_rpm: number },
): number | null {
  // A recording may hold more samples than a call takes arguments, so the extremes are found one by one.
  let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (let i = 0; i < throttle.length; i++) {
    const [speed, opening] = [speeds[i] ?? Number.NaN, throttle[i] ?? Number.NaN]
    most = Math.max(most, opening)
    if (speed >= from_rpm && speed <= to_rpm) least = Math.min(least, opening)
  }
  return least === Number.POSITIVE_INFINITY ? null : least / most
}
