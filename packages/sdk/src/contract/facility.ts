/** The facility of a comparison and how well it repeats. */
import type { Quantity } from './units.ts'

/** How a value of a facility record came about. */
export type RecordStatus = 'measured' | 'declared' | 'network' | 'assumed'

/** Where the runs were made. */
export interface Facility {
  /** Identity of the facility, chosen by its operator. */
  readonly id: string
  /** Height above sea level. [length] */
  readonly altitude?: Quantity<'length'>
  /** Roller sets of the facility. */
  readonly rollers?: readonly Rollers[]
  /** How well the facility repeats. */
  readonly record?: FacilityRecord
}

/** One roller set. */
export interface Rollers {
  /** Identity of the roller set, referred to by runs. */
  readonly id: string
  /** Whether the load is the rollers' inertia alone or also a brake. */
  readonly kind?: 'inertia' | 'braked'
  /** Equivalent moment of inertia of everything the tyre drives, referred to the roller axis. [inertia] */
  readonly inertia?: Quantity<'inertia'>
  /** Radius of the driven roller. [length] */
  readonly rollerRadius?: Quantity<'length'>
  /** Date of the last calibration, `YYYY-MM-DD`. */
  readonly calibratedOn?: string
}

/** How well a facility repeats; each group says how its values came about. */
export interface FacilityRecord {
  /** Identity of the study or document behind the values. */
  readonly study?: string
  /** Date of the record, `YYYY-MM-DD`. 12 months after it, `measured` counts as `declared`. */
  readonly on?: string
  /** What the record was made with. Where a comparison states another scope, or none, `measured` counts as `declared`. */
  readonly appliesTo?: RecordScope
  /** Run-to-run repeatability in one mounting, as a fraction of the power (band-mean part). */
  readonly repeatability?: RecordGroup
  /** Scatter from one strapping-down to the next. */
  readonly remounting?: RemountingGroup
  /** Scatter from one day to the next. */
  readonly day?: RecordGroup
  /** Drift per run within a session. */
  readonly drift?: RecordGroup
  /** Residual of the atmospheric correction, as a fraction of the difference of the factors. */
  readonly ambient?: RecordGroup
  /** Noise along the engine speed within one run. */
  readonly localNoise?: LocalNoise
}

/** What a record applies to, in the facility's own words; a comparison is held against it without regard to case and spaces. */
export interface RecordScope {
  /** The machine it was made with: the `label` of the vehicle. */
  readonly machine: string
  /** The method of strapping down: `strapping` of the mountings. */
  readonly strapping: string
  /** The class of machines that repeat alike: `class` of the vehicle. */
  readonly class: string
}

/** A relative standard deviation with its degrees of freedom. */
export interface RecordGroup {
  /** Standard deviation as a fraction of the power (`ambient`: of the factor difference). [1], at or above 0 */
  readonly relativeSd: number
  /** Degrees of freedom behind the standard deviation. [1], above 0 */
  readonly degreesOfFreedom: number
  /** How the value came about. */
  readonly status: RecordStatus
}

/** Scatter between mountings. */
export interface RemountingGroup extends RecordGroup {
  /** Standard deviation of the curve's tilt between mountings, as a fraction of the power. [1] */
  readonly tiltRelativeSd?: number
  /** Time from one strapping to the next when the record was made. [time] */
  readonly spacing?: Quantity<'time'>
}

/** Noise along the engine speed. */
export interface LocalNoise {
  /** Standard deviation at one engine speed as a fraction of the power. [1], at or above 0 */
  readonly relativeSd: number
  /** Engine-speed distance over which the noise is alike. [rotationalSpeed] */
  readonly correlationLength: Quantity<'rotationalSpeed'>
  /** Relative variance over engine speed; flat when absent. */
  readonly profile?: readonly LocalNoiseAt[]
}

/** One point of the local-noise profile. */
export interface LocalNoiseAt {
  /** Engine speed of the point. [rotationalSpeed] */
  readonly at: Quantity<'rotationalSpeed'>
  /** Variance relative to the mean variance. [1], above 0 */
  readonly weight: number
}
