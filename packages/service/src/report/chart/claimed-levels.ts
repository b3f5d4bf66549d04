/** What was claimed, as lines in the picture of the relative gain. Pure. */
import type { Claim, ClaimRange, GainCurve } from '@fairpull/sdk/contract'
import { convert } from '@fairpull/sdk/engine'
import { powerOf_kW } from './chart-units.ts'

/** A claimed gain over the speeds that the claim is about. */
export interface ClaimedLevel {
  /** Id of the claim. */
  readonly claim: string
  /** How the gain should compare with it. */
  readonly relation: Claim['relation']
  /** The claimed value, as claimed. */
  readonly gain: Claim['gain']
  /** Engine speeds of the line, rising. [rpm], one or more */
  readonly speeds_rpm: readonly number[]
  /** The claimed gain at each, relative to the mean of the baseline. [%] */
  readonly gain_percent: readonly number[]
}

/** The claims of a comparison, drawn and not. */
export interface ClaimedLevels {
  readonly levels: readonly ClaimedLevel[]
  /** Ids of claims about a peak: it stands at another speed on each side, so it is no gain at a speed. */
  readonly peaks: readonly string[]
}

/**
 * Lines of the claims in a picture of the relative gain.
 *
 * A claim in % is level. One in a unit of power or torque is a line of x/P(r): the same kilowatts are a larger share of a
 * smaller power, P being the mean baseline at that speed.
 *
 * @param curve the curve that the lines are drawn beside; claims outside its speeds are left out, they cannot be judged.
 */
export function claimedLevels(claims: readonly Claim[], curve: GainCurve): ClaimedLevels {
  return {
    levels: claims.flatMap((claim) => levelOf(claim, curve) ?? []),
    peaks: claims.filter(({ over }) => over.kind === 'peak').map(({ id }) => id),
  }
}

function levelOf({ id, over, relation, gain }: Claim, curve: GainCurve): ClaimedLevel | null {
  const range = rangeOf(over)
  if (range === null) return null
  const { value, unit } = gain
  const { from_rpm, to_rpm } = range
  if (unit === '%') return { claim: id, relation, gain, speeds_rpm: [from_rpm, to_rpm], gain_percent: [value, value] }
  const inside = curve.engineSpeed_rpm.filter((speed) => speed > from_rpm && speed < to_rpm)
  const points = [...new Set([from_rpm, ...inside, to_rpm])].flatMap((speed) => {
    const baseline_kW = baselineAt(curve, speed)
    return baseline_kW === null ? [] : [{ speed, percent: (100 * powerOf_kW(value, unit, speed)) / baseline_kW }]
  })
  if (points.length === 0) return null
  const speeds_rpm = points.map(({ speed }) => speed)
  return { claim: id, relation, gain, speeds_rpm, gain_percent: points.map(({ percent }) => percent) }
}

/** Mean power of the baseline between two points of the grid; null outside it, and where there is none. [kW] */
function baselineAt({ engineSpeed_rpm: speeds, baseline_kW }: GainCurve, speed: number): number | null {
  const above = speeds.findIndex((each) => each >= speed)
  const [right, power] = [speeds[above], baseline_kW[above]]
  if (right === undefined || power === undefined) return null
  const [left, before] = right === speed ? [right, power] : [speeds[above - 1], baseline_kW[above - 1]]
  if (left === undefined || before === undefined) return null
  const found = left === right ? power : before + ((power - before) * (speed - left)) / (right - left)
  return found > 0 ? found : null
}

/** Ends of a claimed range; null for a peak. [rpm] */
function rangeOf(over: ClaimRange): { readonly from_rpm: number; readonly to_rpm: number } | null {
  if (over.kind === 'peak') return null
  const [from, to] = over.kind === 'at-speed' ? [over.speed, over.speed] : [over.from, over.to]
  return { from_rpm: convert(from.value, from.unit, 'rpm'), to_rpm: convert(to.value, to.unit, 'rpm') }
}
