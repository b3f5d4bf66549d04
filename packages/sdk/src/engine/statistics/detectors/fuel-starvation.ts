import { roundSignificant } from '../../numerics/round-significant.ts'
import type { SideIndex } from '../cells.ts'
import type { ComparedCurves, Detection } from './detection.ts'
import type { NoiseScale } from './noise-scale.ts'

/** Limits of fuel starvation. [1] Source: measurement-model §8. */
export const STARVATION_LIMITS = {
  /** Rise of lambda at the top above the smallest rise of any run. */
  rise: 0.03,
  /** Loss of power at the top below the run that loses least, together with it. */
  loss: 0.015,
  /** Loss that tells without lambda, at least, and in local noise sds. */
  lossAlone: 0.02,
  lossAloneInNoise: 5,
} as const

/** The top and the middle of the common range, as shares of it. [1] */
const TOP_SHARE = 0.08
const MIDDLE_SHARES = { from: 0.4, to: 0.65 } as const

/**
 * Runs that go lean at the top of the range and lose power there.
 *
 * rise = mean lambda at the top − in the middle; drop = ln(mean power at the top / in the middle). Named: rise − smallest
 * rise > 0.03 and largest drop − drop > 0.015, over all runs. Observed: the largest rise above the smallest among the named
 * runs, else among all. [1]
 *
 * @param curves of all runs.
 * @param lambda mixture of each run on the grid. [1], lambda
 * @returns the detection. Pure; never throws. Source: measurement-model §8, fuelling with lambda. Tested: tests/vectors, detect.
 */
export function leanStarvation(curves: ComparedCurves, lambda: readonly Float64Array[]): Detection {
  const part = partsOf(curves.engineSpeed_rpm)
  const rises = lambda.map((values) => meanWhere(values, part.isTop) - meanWhere(values, part.isMiddle))
  const drops = dropsOf(curves)
  const smallestRise = Math.min(...rises)
  const largestDrop = Math.max(...drops)
  const excess = rises.map((rise) => rise - smallestRise)
  const runs = excess.flatMap((rise, run) => {
    const loss = largestDrop - (drops[run] ?? Number.NaN)
    return roundSignificant(rise) > STARVATION_LIMITS.rise && roundSignificant(loss) > STARVATION_LIMITS.loss
      ? [run]
      : []
  })
  return { observed: largestOf(excess, runs), limit: STARVATION_LIMITS.rise, isBroken: runs.length > 0, runs }
}

/**
 * Runs that lose power at the top of the range against the others of their side, where no lambda was recorded.
 *
 * Per side with two or more runs: largest drop of the side − drop > max(0.02, 5 l). A side that is starved as a whole cannot
 * be told from an effect. Observed: the largest such loss. [1]
 *
 * @param curves of all runs.
 * @param scale noise sizes.
 * @returns the detection; null where no side has two runs. Pure; never throws.
 *
 * Source: measurement-model §8, fuelling without lambda. Tested: tests/vectors, detect.
 */
export function powerLossStarvation(curves: ComparedCurves, scale: NoiseScale): Detection | null {
  const limit = Math.max(STARVATION_LIMITS.lossAlone, STARVATION_LIMITS.lossAloneInNoise * scale.localRelSd)
  const drops = dropsOf(curves)
  const largest = ([0, 1] as const).map((side) => Math.max(...drops.filter((_, i) => curves.sides[i] === side)))
  const isShared = (side: SideIndex) => curves.sides.filter((other) => other === side).length >= 2
  if (!isShared(0) && !isShared(1)) return null

  const losses = curves.sides.map((side, run) => (isShared(side) ? (largest[side] ?? 0) - (drops[run] ?? 0) : 0))
  const runs = losses.flatMap((loss, run) => (roundSignificant(loss) > limit ? [run] : []))
  return { observed: largestOf(losses, runs), limit, isBroken: runs.length > 0, runs }
}

interface RangeParts {
  /** 1 at the grid points of the part, else 0. */
  readonly isTop: Uint8Array
  readonly isMiddle: Uint8Array
}

function partsOf(speeds: Float64Array): RangeParts {
  const start = speeds[0] ?? 0
  const end = speeds.at(-1) ?? 0
  const span = end - start
  const [from, to] = [start + MIDDLE_SHARES.from * span, start + MIDDLE_SHARES.to * span]
  return {
    isTop: Uint8Array.from(speeds, (speed) => Number(speed >= end - TOP_SHARE * span)),
    isMiddle: Uint8Array.from(speeds, (speed) => Number(speed >= from && speed <= to)),
  }
}

/** ln(mean power at the top / in the middle) of each run. [1] */
function dropsOf({ engineSpeed_rpm, smooth }: ComparedCurves): readonly number[] {
  const part = partsOf(engineSpeed_rpm)
  return smooth.map((curve) => Math.log(meanWhere(curve, part.isTop) / meanWhere(curve, part.isMiddle)))
}

function meanWhere(values: Float64Array, isInside: Uint8Array): number {
  let [sum, count] = [0, 0]
  for (let i = 0; i < values.length; i++) {
    if (isInside[i] !== 1) continue
    sum += values[i] ?? 0
    count += 1
  }
  return sum / count
}

function largestOf(values: readonly number[], runs: readonly number[]): number {
  return Math.max(...(runs.length > 0 ? runs.map((run) => values[run] ?? Number.NaN) : values))
}
