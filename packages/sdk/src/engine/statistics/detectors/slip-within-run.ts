import { GRID_RPM, gridOf, onGrid } from '../grid.ts'
import { lowLoadRatio, medianRatio, type SpeedTrace, speedRatios } from './speed-ratio-figures.ts'

/** How the speed ratio of one run changes along the sweep. */
export interface SlipFigures {
  /** Rise of ln(engine speed / roller speed) from the first 1,200 rpm to the last 500 rpm. [1] */
  readonly growth: number
  /** Largest absolute change of it over 200 rpm. [1] */
  readonly step: number
}

/** The end of the sweep that the growth looks at. [rpm] */
const END_RPM = 500

/** Distance over which a step is looked for, in grid points. */
const STEP_POINTS = 200 / GRID_RPM

/**
 * Slip of the drive tyre within one run.
 *
 * @param trace engine and roller speed, as recorded.
 * @returns growth and largest step. Pure; never throws.
 *
 * Source: measurement-model §8, speed-ratio-steady; common practice. Tested: tests/vectors, checks.
 */
export function slipWithinRun(trace: SpeedTrace): SlipFigures {
  return { growth: slipGrowth(trace), step: slipStep(trace) }
}

/** The growth alone. [1] */
export function slipGrowth(trace: SpeedTrace): number {
  const { engineSpeed_rpm } = trace
  const end = (engineSpeed_rpm.at(-1) ?? 0) - END_RPM
  const first = engineSpeed_rpm.findIndex((speed) => speed >= end)
  const atEnd = medianRatio(trace, first === -1 ? engineSpeed_rpm.length : first, engineSpeed_rpm.length)
  return Math.log(atEnd) - Math.log(lowLoadRatio(trace))
}

/** The largest step alone. [1] */
export function slipStep(trace: SpeedTrace): number {
  const curve = { engineSpeed_rpm: trace.engineSpeed_rpm, power: speedRatios(trace) }
  const grid = gridOf([curve])
  if (grid === null) return 0
  const log = onGrid(curve, grid).map(Math.log)
  const steps = log.subarray(STEP_POINTS).map((value, i) => Math.abs(value - (log[i] ?? 0)))
  return steps.length === 0 ? 0 : Math.max(...steps)
}
