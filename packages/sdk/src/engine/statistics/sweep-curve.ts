/** A power curve over rising engine speed. */
export interface SweepCurve {
  /** Engine speed, rising. [rpm] */
  readonly engineSpeed_rpm: Float64Array
  /** Power at each engine speed. [unit] */
  readonly power: Float64Array
}

/** A recording finer than this is averaged in bins of this width. [rpm] */
const BIN_RPM = 25

/**
 * The power curve behind one raw recording.
 *
 * Cut to the sweep (from the last minimum of engine speed before its first maximum, to that maximum), sorted by engine
 * speed, equal speeds averaged; where the mean spacing is then below 25 rpm, averaged in bins of equal ⌊rpm/25⌋.
 *
 * @param engineSpeed_rpm samples in time order. [rpm]
 * @param power one per sample. [unit]
 * @returns the curve; empty for an empty recording. Pure; never throws.
 *
 * Source: measurement-model §2. Tested: tests/vectors, condition.
 */
export function sweepCurve(engineSpeed_rpm: Float64Array, power: Float64Array): SweepCurve {
  const { from, to } = sweepEnds(engineSpeed_rpm)
  const sweep = { engineSpeed_rpm: engineSpeed_rpm.subarray(from, to + 1), power: power.subarray(from, to + 1) }
  const order = risingOrder(sweep.engineSpeed_rpm)
  const rising = order === null ? sweep : sorted(sweep, order)
  const distinct = isStrictlyRising(rising.engineSpeed_rpm) ? rising : averaged(rising, (speed) => speed)
  const points = distinct.engineSpeed_rpm.length
  const spacing =
    points < 2 ? BIN_RPM : ((distinct.engineSpeed_rpm.at(-1) ?? 0) - (distinct.engineSpeed_rpm[0] ?? 0)) / (points - 1)
  return spacing < BIN_RPM ? averaged(distinct, (speed) => Math.floor(speed / BIN_RPM)) : distinct
}

/** First maximum of the engine speed, and the last minimum before it. */
export function sweepEnds(speed: Float64Array): { readonly from: number; readonly to: number } {
  if (speed.length === 0) return { from: 0, to: -1 }
  let to = 0
  for (let i = 1; i < speed.length; i++) if ((speed[i] ?? 0) > (speed[to] ?? 0)) to = i
  let from = 0
  for (let i = 1; i <= to; i++) if ((speed[i] ?? 0) <= (speed[from] ?? 0)) from = i
  return { from, to }
}

/** Indexes of the samples by rising engine speed, equal speeds as recorded; null where they rise already, as a sweep does. */
export function risingOrder(speed: Float64Array): Uint32Array | null {
  let isRising = true
  for (let i = 1; i < speed.length && isRising; i++) isRising = !((speed[i] ?? 0) < (speed[i - 1] ?? 0))
  if (isRising) return null
  return Uint32Array.from(speed.keys()).sort((a, b) => (speed[a] ?? 0) - (speed[b] ?? 0))
}

function isStrictlyRising(speed: Float64Array): boolean {
  let i = 1
  while (i < speed.length && (speed[i] ?? 0) > (speed[i - 1] ?? 0)) i += 1
  return i >= speed.length
}

function sorted({ engineSpeed_rpm, power }: SweepCurve, order: Uint32Array): SweepCurve {
  return {
    engineSpeed_rpm: Float64Array.from(order, (i) => engineSpeed_rpm[i] ?? 0),
    power: Float64Array.from(order, (i) => power[i] ?? 0),
  }
}

/** Mean speed and power of neighbouring samples with the same key; keys must rise with the speed. */
function averaged(curve: SweepCurve, keyOf: (speed: number) => number): SweepCurve {
  const { length } = curve.power
  const speeds = new Float64Array(length)
  const powers = new Float64Array(length)
  let [groups, start, speedSum, powerSum] = [0, 0, 0, 0]
  for (let i = 0; i < length; i++) {
    const speed = curve.engineSpeed_rpm[i] ?? 0
    speedSum += speed
    powerSum += curve.power[i] ?? 0
    if (i + 1 < length && keyOf(curve.engineSpeed_rpm[i + 1] ?? 0) === keyOf(speed)) continue
    speeds[groups] = speedSum / (i + 1 - start)
    powers[groups] = powerSum / (i + 1 - start)
    groups += 1
    start = i + 1
    speedSum = 0
    powerSum = 0
  }
  return { engineSpeed_rpm: speeds.slice(0, groups), power: powers.slice(0, groups) }
}
