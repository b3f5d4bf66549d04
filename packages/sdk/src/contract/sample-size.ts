/** How many runs and mountings a comparison needs, asked before it is made. */
import type { FacilityRecord, RecordStatus } from './facility.ts'
import type { Quantity } from './units.ts'
import type { Swap } from './vehicle.ts'

/** What a comparison is to show, and how well the facility repeats. Nothing is stored. */
export interface SampleSizeRequest {
  /** Protocol whose limits hold and whose typical values stand in for what is not recorded, for example `motorcycle-rollers@1`. */
  readonly protocol: string
  /** What is to be shown. */
  readonly target: SampleSizeTarget
  /** How well the facility repeats. Absent, or for what it lacks: the protocol's typical values, said to be assumed. */
  readonly record?: FacilityRecord
  /** How the change is made. Absent: advice for both, a swap of minutes and one of hours. */
  readonly swap?: Swap
  /** Width of the band whose mean is claimed. [rotationalSpeed] Absent: a peak or one engine speed, which scatter more. */
  readonly bandWidth?: Quantity<'rotationalSpeed'>
}

/** What a comparison is to show. */
export type SampleSizeTarget = HalfWidthTarget | SupportTarget

/** An interval that is narrow enough. */
export interface HalfWidthTarget {
  /** An interval. */
  readonly kind: 'half-width'
  /** Half-width of the 95 % interval of the relative gain, above 0. */
  readonly halfWidth: RelativeGain
}

/** A claim that is likely to be supported. */
export interface SupportTarget {
  /** A claim "at least". */
  readonly kind: 'claim'
  /** The claimed gain. */
  readonly atLeast: RelativeGain
  /** How far the true gain is expected to lie above the claimed one, above 0. */
  readonly slack: RelativeGain
  /** Chance of support, if the gain is as expected. [1], 0.5 to 0.99; absent: 0.8 */
  readonly chance?: number
}

/** A relative gain, or a difference of two. */
export interface RelativeGain {
  /** Value. [%] */
  readonly value: number
  /** Always `%`. */
  readonly unit: '%'
}

/** Designs that reach the target, in the order in which they are advised. */
export interface SampleSizeReport {
  /** Protocol whose values and limits were used. */
  readonly protocol: string
  /** The answer in one plain sentence. */
  readonly verdict: string
  /** Designs, the advised one first: stay strapped and take turns; re-strap within each side; more runs last. */
  readonly designs: readonly AdvisedDesign[]
  /** What the figures rest on. */
  readonly figures: readonly PlannedFigure[]
  /** What the figures leave out, in plain sentences. */
  readonly limits: readonly string[]
}

/** One way to make the runs, and what it would show. */
export interface AdvisedDesign {
  /** Sides taking turns in one strapping-down, or strapped down again within each side without touching the part. */
  readonly layout: 'interleaved' | 'strapped-again'
  /** Mountings of each side; where they share them, mountings in all. [1] */
  readonly mountings: number
  /** Measured runs of each side in each mounting. [1] */
  readonly runsPerMounting: number
  /** Measured runs in all. [1] */
  readonly runs: number
  /** Standard uncertainty of the gain, on the logarithmic scale. [%] */
  readonly standardUncertainty: number
  /** Effective degrees of freedom. [1] */
  readonly degreesOfFreedom: number
  /** Half-width of the 95 % interval. [%] */
  readonly halfWidth: number
  /** How far the true gain must lie above a claim for the chance of support that was asked for. [%] */
  readonly slack: number
  /** Whether it reaches the target. */
  readonly isEnough: boolean
  /** What to do and what it shows, in a sentence or two. */
  readonly sentence: string
}

/** One figure of the planning. */
export interface PlannedFigure {
  /** What it is the scatter of. */
  readonly term: 'repeatability' | 're-mounting' | 'drift' | 'local-noise'
  /** Relative standard deviation. [1] */
  readonly relativeSd: number
  /** Degrees of freedom that the planning takes from the record; 0 where only the planned runs supply them; 1e9 stands for infinite. */
  readonly degreesOfFreedom: number
  /** How the value came about. */
  readonly status: RecordStatus
  /** The same in one plain sentence. */
  readonly sentence: string
}
