/**
 * The comparison document: what is submitted to be assessed.
 *
 * Every quantity carries its unit; there is no default unit. A member that is absent was not recorded:
 * it is never taken as zero, equal or good.
 */
import type { Claim } from './claim.ts'
import type { CorrectionId } from './corrections.ts'
import type { Facility } from './facility.ts'
import type { Mounting } from './mounting.ts'
import type { RegisteredPlan } from './plan.ts'
import type { Run } from './run.ts'
import type { Change, DriveTyre, Vehicle } from './vehicle.ts'

/** A before/after comparison on a roller dynamometer. At most 1,000 runs. */
export interface Comparison {
  /** Protocol to judge by, with its version, for example `motorcycle-rollers@1`. */
  readonly protocol: string
  /** Correction of the figures that are judged and printed; the uncorrected ones always stand beside. Absent: `un-r85`. */
  readonly reportIn?: CorrectionId
  /** The place of measurement and how well it repeats. */
  readonly facility?: Facility
  /** The vehicles that appear in the runs. */
  readonly vehicles?: readonly Vehicle[]
  /** The drive tyres that appear in the runs. */
  readonly driveTyres?: readonly DriveTyre[]
  /** Every declared difference between the sides. */
  readonly changes?: readonly Change[]
  /** Each strapping-down of the machine on the rollers. */
  readonly mountings?: readonly Mounting[]
  /** Every full-throttle sweep recorded between the first and the last one used, in any order. */
  readonly runs: readonly Run[]
  /** Numbers of the rig's own counter that are not runs of this comparison. */
  readonly unlisted?: readonly Unlisted[]
  /** Measured runs that are left out, each under a named rule. */
  readonly excluded?: readonly Exclusion[]
  /** What is claimed for the change. */
  readonly claims?: readonly Claim[]
  /** The plan the runs were made under; written by the register, refused in a comparison that is submitted. */
  readonly plan?: RegisteredPlan
}

/** Counter numbers of the rig that are no runs of this comparison. */
export interface Unlisted {
  /** The numbers. */
  readonly counters: readonly number[]
  /** What they were. */
  readonly purpose: 'tuning' | 'conditioning' | 'aborted' | 'diagnosis' | 'other-machine'
}

/** A measured run that is left out. */
export interface Exclusion {
  /** Id of the run. */
  readonly run: string
  /** Rule it is left out under. */
  readonly rule: 'fuelling' | 'slip' | 'trace' | 'operator' | 'other'
  /** Why, in a sentence. */
  readonly reason: string
}
