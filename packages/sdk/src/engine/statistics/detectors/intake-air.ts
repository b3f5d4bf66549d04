import { roundSignificant } from '../../numerics/round-significant.ts'
import type { SideIndex } from '../cells.ts'
import { type Detection, sideMeans } from './detection.ts'

/** Largest side difference of intake air over ambient air. [K] Source: measurement-model §8. */
const INTAKE_LIMIT_K = 8

/**
 * Whether the sides breathed equally warm air.
 *
 * Observed: |difference of the side means of (intake air − ambient air)|. [K] No run is to blame.
 *
 * @param excess_K intake air less ambient air of each run. [K]
 * @param sides of all runs.
 * @returns the detection. Pure; never throws. Source: measurement-model §8, intake-air-matched. Tested: tests/vectors, detect.
 */
export function intakeAir(excess_K: readonly number[], sides: readonly SideIndex[]): Detection {
  const [baseline, modified] = sideMeans(excess_K, sides)
  const observed = Math.abs(modified - baseline)
  return { observed, limit: INTAKE_LIMIT_K, isBroken: roundSignificant(observed) > INTAKE_LIMIT_K, runs: [] }
}
