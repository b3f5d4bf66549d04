/** One full-throttle sweep and its channels. */
import type { CorrectionId } from './corrections.ts'
import type { Conditions, Setup } from './mounting.ts'
import type { Quantity, UnitOf } from './units.ts'

/** Which of the two things compared a run belongs to. */
export type Side = 'baseline' | 'modified'

/** What the rig's software did to the figures before they were exported. */
export interface Processing {
  /** Where the power is referred to. */
  readonly measuredAt?: 'wheel' | 'crankshaft-estimated'
  /** Correction already in the figures; `none` when they are as measured. */
  readonly correction?: CorrectionId
  /** The factor already in the figures, with the step it is printed in. */
  readonly factor?: PrintedFactor
  /** Smoothing already in the figures; a stated kernel and width. */
  readonly smoothing?: Smoothing
}

/** A printed correction factor. */
export interface PrintedFactor {
  /** Corrected power divided by measured power. [1] */
  readonly value: number
  /** Step of the last printed digit. [1], above 0 */
  readonly resolution?: number
}

/** A stated smoothing. */
export interface Smoothing {
  /** Shape of the kernel; `none` when the figures are not smoothed. */
  readonly kernel: 'none' | 'gaussian' | 'moving-average' | 'other'
  /** Full width of a moving average, or standard deviation of a gaussian. [rotationalSpeed] */
  readonly width?: Quantity<'rotationalSpeed'>
}

/** One full-throttle sweep. */
export interface Run {
  /** Identity within this document. */
  readonly id: string
  /** Side the run belongs to. */
  readonly side: Side
  /** Id of its mounting. */
  readonly mounting?: string
  /** What the run was for; only `measured` runs enter the figures. */
  readonly purpose: 'measured' | 'conditioning' | 'tuning' | 'aborted' | 'diagnosis'
  /** Place in the order of all runs. [1], whole, from 1 */
  readonly sequence?: number
  /** Number the rig itself gave the run. [1], whole, from 0 */
  readonly counter?: number
  /** Start, RFC 3339 with offset. */
  readonly startedAt?: string
  /** How the figures got here. */
  readonly origin?: 'recorded' | 'exported' | 'read-from-chart' | 'reported'
  /** File the run was read from. */
  readonly source?: Source
  /** Setup, over that of the mounting. */
  readonly setup?: Setup
  /** Conditions, over those of the mounting. */
  readonly conditions?: Conditions
  /** What was already done to the figures. */
  readonly processing?: Processing
  /** The recorded curves. Absent only for a `reported` run. */
  readonly channels?: Channels
  /** Published figures, in place of channels. */
  readonly reported?: Reported
}

/** The file a run was read from. */
export interface Source {
  /** File name without path. */
  readonly name: string
  /** SHA-256 of its bytes, lower-case hex. */
  readonly sha256: string
}

/** Values of one channel: a JSON array, or base64 of little-endian float64. Exactly one of the two. */
export type ChannelValues =
  | { readonly values: readonly number[]; readonly base64?: never }
  | { readonly base64: string; readonly values?: never }

/** One column of a run. */
export type Channel<U extends string> = ChannelValues & {
  /** Unit of every value. */
  readonly unit: U
}

/** Mixture over the sweep. */
export type MixtureChannel = ChannelValues & {
  /** Ratio, always `1`. */
  readonly unit: '1'
  /** Relative (lambda) or absolute (air-fuel ratio by mass). */
  readonly as: 'lambda' | 'afr'
  /** Stoichiometric air-fuel ratio that the instrument assumes; needed for `afr`. [1] */
  readonly stoichiometric?: number
  /** Where the exhaust gas is taken. */
  readonly probe: 'bung' | 'tailpipe'
}

/** Recorded columns; all have the same number of values. */
export interface Channels {
  /** Time since the start of the run. */
  readonly time?: Channel<UnitOf<'time'>>
  /** Engine speed. */
  readonly engineSpeed?: Channel<UnitOf<'rotationalSpeed'>>
  /** Power at the place named in `processing.measuredAt`. */
  readonly wheelPower?: Channel<UnitOf<'power'>>
  /** Power divided by engine angular speed: the torque the trade prints. */
  readonly torque?: Channel<UnitOf<'torque'>>
  /** Torque at the driven axle. */
  readonly axleTorque?: Channel<UnitOf<'torque'>>
  /** Surface speed of the rollers. */
  readonly rollerSpeed?: Channel<UnitOf<'speed'>>
  /** Mixture. */
  readonly mixture?: MixtureChannel
  /** Throttle opening, any scale that rises with it. */
  readonly throttle?: Channel<UnitOf<'ratio'>>
}

/** Published figures of a run nobody handed over. */
export interface Reported {
  /** Highest power. [power] */
  readonly peakPower?: Quantity<'power'>
  /** Engine speed of the highest power. [rotationalSpeed] */
  readonly at?: Quantity<'rotationalSpeed'>
  /** Highest torque. [torque] */
  readonly peakTorque?: Quantity<'torque'>
  /** Engine speed of the highest torque. [rotationalSpeed] */
  readonly peakTorqueAt?: Quantity<'rotationalSpeed'>
  /** Step of the last printed digit, in the unit of `peakPower`. [1], above 0 */
  readonly resolution?: number
  /** Step of the last printed digit, in the unit of `peakTorque`. [1], above 0 */
  readonly torqueResolution?: number
  /** How many runs the figures are the best of; absent: nobody says, and they are counted as the best of three. [1], 1 or more */
  readonly bestOf?: number
}
