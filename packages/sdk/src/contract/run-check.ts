/** One run looked at by itself: between two pulls, or when it is uploaded. */
import type { Claim } from './claim.ts'
import type { CorrectionId } from './corrections.ts'
import type { Facility } from './facility.ts'
import type { Mounting } from './mounting.ts'
import type { Caution, Finding } from './result.ts'
import type { Run } from './run.ts'
import type { TraceReading } from './trace-reading.ts'
import type { DriveTyre, Vehicle } from './vehicle.ts'

/** One run, and the little beside it that its checks can use. A reference to what is not given counts as not recorded. */
export interface RunCheckRequest {
  /** Protocol whose checks and limits look, for example `motorcycle-rollers@1`. */
  readonly protocol: string
  /** The run. */
  readonly run: Run
  /** Correction whose range the air is held to. Absent: `un-r85`. */
  readonly reportIn?: CorrectionId
  /** The place of measurement: altitude, rollers. */
  readonly facility?: Facility
  /** The machine: engine, gearing. */
  readonly vehicle?: Vehicle
  /** Its drive tyre. */
  readonly driveTyre?: DriveTyre
  /** The strapping-down, with the setup and conditions that the run takes from it. */
  readonly mounting?: Mounting
  /** What will be claimed, for the engine speeds the run must cover. */
  readonly claims?: readonly Claim[]
}

/** What a run shows by itself. */
export interface RunCheckReport {
  /** Protocol whose checks looked. */
  readonly protocol: string
  /** Id of the run. */
  readonly run: string
  /** Whether nothing found speaks against using the run. Missing evidence does not, and is told. */
  readonly isUsable: boolean
  /** The answer in one plain sentence. */
  readonly verdict: string
  /** Findings of the checks that need no second side, in the order of the protocol. */
  readonly findings: readonly Finding[]
  /** How the run was read out of its recording; null where it has none. */
  readonly trace: TraceReading | null
  /** Safety, wherever it applies. */
  readonly cautions: readonly Caution[]
}
