import { roundSignificant } from '../../numerics/round-significant.ts'
import type { SideIndex } from '../cells.ts'
import { type Detection, sideCounts, sideMeans } from './detection.ts'

/** Largest side difference of the engine temperature, in K times √(1/n_A + 1/n_B). Source: measurement-model §8. */
const SOAK_K = { usual: 4, strict: 3 } as const

/**
 * Largest side difference of the engine temperature at run start that a comparison bears.
 *
 * 4 √(1/n_A + 1/n_B); 3 instead of 4 where a side has one run, and under a registered plan.
 *
 * @param sides of all runs.
 * @param isPlanned whether the comparison is made under a registered plan.
 * @returns the limit. [K] Source: measurement-model §8 and §10.
 */
export function heatSoakLimit_K(sides: readonly SideIndex[], isPlanned: boolean): number {
  const [baseline, modified] = sideCounts(sides)
  const isStrict = isPlanned || Math.min(baseline, modified) === 1
  return (isStrict ? SOAK_K.strict : SOAK_K.usual) * Math.sqrt(1 / baseline + 1 / modified)
}

/**
 * Whether one side ran with a hotter engine.
 *
 * Observed: |difference of the side means of the engine temperature at run start|. [K] No run is to blame.
 *
 * @param temperature engine temperature at the start of each run. [K] or [°C]
 * @param sides of all runs.
 * @param isPlanned whether the comparison is made under a registered plan.
 * @returns the detection. Pure; never throws. Source: measurement-model §8, heat soak. Tested: tests/vectors, detect.
 */
export function heatSoak(temperature: readonly number[], sides: readonly SideIndex[], isPlanned: boolean): Detection {
  const [baseline, modified] = sideMeans(temperature, sides)
  const observed = Math.abs(modified - baseline)
  const limit = heatSoakLimit_K(sides, isPlanned)
  return { observed, limit, isBroken: roundSignificant(observed) > roundSignificant(limit), runs: [] }
}
