import { roundSignificant } from '../../numerics/round-significant.ts'
import type { SideIndex } from '../cells.ts'
import { type Detection, sideMeans } from './detection.ts'
import { lowLoadRatio, type SpeedTrace } from './speed-ratio-figures.ts'

/** Largest difference of ln(engine speed / roller speed) within one gear. [1] Source: measurement-model §8. */
const GEAR_LIMIT = 0.03

/**
 * Whether all runs were made in one gear, as engine speed over roller speed shows it.
 *
 * lr_i = ln of the median ratio within 1,200 rpm of the first sample. Observed: the larger of the absolute difference of the
 * side means and the largest range within a side. [1] No run is to blame.
 *
 * @param traces of all runs, as recorded.
 * @param sides of all runs.
 * @returns the detection. Pure; never throws. Source: measurement-model §8, gear-matched. Tested: tests/vectors, detect.
 */
export function gearInUse(traces: readonly SpeedTrace[], sides: readonly SideIndex[]): Detection {
  const logs = traces.map((trace) => Math.log(lowLoadRatio(trace)))
  const [baseline, modified] = sideMeans(logs, sides)
  const ranges = ([0, 1] as const).map((side) => {
    const own = logs.filter((_, i) => sides[i] === side)
    return Math.max(...own) - Math.min(...own)
  })
  const observed = Math.max(Math.abs(modified - baseline), ...ranges)
  return { observed, limit: GEAR_LIMIT, isBroken: roundSignificant(observed) > GEAR_LIMIT, runs: [] }
}
