import type { SideIndex } from './cells.ts'
import type { FacilityFigures } from './facility-record.ts'

/** What the scalar method needs: one figure per run, in the order the runs were made. */
export interface ScalarInput {
  /** Figure of each run. [unit], above 0 where `isRelative` */
  readonly values: Float64Array
  /** Side of each run, 0 baseline, 1 modified. */
  readonly sides: readonly SideIndex[]
  /** Mounting of each run. */
  readonly mountings: readonly string[]
  /** Drift covariate of each run. [1] */
  readonly t: Float64Array
  /**
   * Drift covariate over the whole session, where `t` is that of another drift model: what comes first and how long the engine
   * has run is no part of the model. [1]; absent: `t`
   */
  readonly sessionT?: Float64Array
  /** Correction factor in each figure; null where missing. [1] */
  readonly factors: readonly (number | null)[]
  /** Day of each run; null when all share one. */
  readonly days: readonly (string | number)[] | null
  /** How well the facility repeats; null when nothing is declared. */
  readonly record: FacilityFigures | null
  /** Width of the band of a band mean, 0 for other figures. [rpm] */
  readonly width_rpm: number
  /** Whether the gain is relative: then everything is on the natural logarithmic scale. */
  readonly isRelative: boolean
  /** Whether neither conditioning nor engine temperature rules out a warm-up trend. */
  readonly hasWarmUpTerm: boolean
  /** Whether the order of the runs is known; else there is no drift check. */
  readonly isOrderKnown: boolean
}
