import { fisherF } from '../../numerics/fisher-f.ts'
import { roundSignificant } from '../../numerics/round-significant.ts'
import { studentT } from '../../numerics/student-t.ts'
import { type ComparedRuns, type Detection, meanOf, sideCounts, sideMeans } from './detection.ts'
import { type SpeedTrace, speedRatios } from './speed-ratio-figures.ts'

/** A speed trace with the power at each sample, which loads the tyre. */
export interface LoadedSpeedTrace extends SpeedTrace {
  /** Power of each sample. [W] */
  readonly power_W: Float64Array
}

/** How well a facility repeats rolling radius and slip. Absent members of a record are filled by {@link RATIO_WHERE_SILENT}. */
export interface RatioFigures {
  /** Sd of ln(speed ratio) without traction, between mountings and between runs. [1] */
  readonly interceptMountSd: number
  readonly interceptRunSd: number
  /** Sd of its slope with the tractive force, between mountings and between runs. [1 per 2,800 N] */
  readonly slopeMountSd: number
  readonly slopeRunSd: number
  /** Degrees of freedom of the four. [1] */
  readonly dof: number
}

/** What is taken where a record is silent; an assumption. Source: measurement-model §1. */
export const RATIO_WHERE_SILENT: RatioFigures = {
  interceptMountSd: 0.0011,
  interceptRunSd: 0.0008,
  slopeMountSd: 0.003,
  slopeRunSd: 0.0022,
  dof: 12,
}

/** p below which tyre or straps differ. [1] Source: measurement-model §8. */
const RATIO_P = 0.005

/** Tractive force is counted in units of this. [N] */
const FORCE_UNIT_N = 2800

/**
 * Whether rolling radius or slip differ between the sides: drive tyre, its pressure, or the straps.
 *
 * Per run least squares of ln(engine speed / roller speed) on [1, F], F = P/(2800 v). t1, t2 = difference of the side means of
 * intercept and slope over √(s_m²(1/k_A + 1/k_B) + s_r²(1/n_A + 1/n_B)), without the s_m term where a mounting is shared.
 * Observed: min(2 P(t > |t1|), P(F_{2,ν} > (t1² + t2²)/2)). [1] Limit: 0.005. No run is to blame.
 *
 * Only meaningful while all runs are in one gear.
 *
 * @param traces of all runs, as recorded.
 * @param runs sides and mountings.
 * @param figures how well the facility repeats the ratio.
 * @returns the detection. Pure; never throws. Source: measurement-model §8, tyre/strap. Tested: tests/vectors, detect.
 */
export function tyreAndStraps(
  traces: readonly LoadedSpeedTrace[],
  runs: ComparedRuns,
  figures: RatioFigures,
): Detection {
  const lines = traces.map(ratioLine)
  const t1 = sideDifference(
    lines.map(({ intercept }) => intercept),
    runs,
    figures.interceptMountSd,
    figures.interceptRunSd,
  )
  const t2 = sideDifference(
    lines.map(({ slope }) => slope),
    runs,
    figures.slopeMountSd,
    figures.slopeRunSd,
  )
  const radius = 2 * studentT.sf(Math.abs(t1), figures.dof)
  const radiusOrSlip = fisherF.sf((t1 * t1 + t2 * t2) / 2, 2, figures.dof)
  const observed = Math.min(radius, radiusOrSlip)
  return { observed, limit: RATIO_P, isBroken: roundSignificant(observed) < RATIO_P, runs: [] }
}

interface RatioLine {
  readonly intercept: number
  readonly slope: number
}

function ratioLine(trace: LoadedSpeedTrace): RatioLine {
  const { power_W, rollerSpeed_m_per_s } = trace
  const force = new Float64Array(power_W.length)
  const log = speedRatios(trace)
  for (let i = 0; i < force.length; i++) {
    force[i] = (power_W[i] ?? Number.NaN) / (FORCE_UNIT_N * (rollerSpeed_m_per_s[i] ?? Number.NaN))
    log[i] = Math.log(log[i] ?? Number.NaN)
  }
  const [meanForce, meanLog] = [meanOf(force), meanOf(log)]
  let [products, squares] = [0, 0]
  for (let i = 0; i < force.length; i++) {
    const fromMean = (force[i] ?? Number.NaN) - meanForce
    products += fromMean * ((log[i] ?? 0) - meanLog)
    squares += fromMean ** 2
  }
  const slope = products / squares
  return { intercept: meanLog - slope * meanForce, slope }
}

/** Difference of the side means in its standard uncertainties. [1] */
function sideDifference(
  values: readonly number[],
  { sides, mountings }: ComparedRuns,
  mountSd: number,
  runSd: number,
): number {
  const held = ([0, 1] as const).map((side) => new Set(mountings.filter((_, i) => sides[i] === side)))
  const [first, second] = [held[0] ?? new Set(), held[1] ?? new Set()]
  const isShared = [...first].some((mounting) => second.has(mounting))
  const [baselineRuns, modifiedRuns] = sideCounts(sides)
  const [baseline, modified] = sideMeans(values, sides)
  const betweenMountings = isShared ? 0 : mountSd ** 2 * (1 / first.size + 1 / second.size)
  return (modified - baseline) / Math.sqrt(betweenMountings + runSd ** 2 * (1 / baselineRuns + 1 / modifiedRuns))
}
