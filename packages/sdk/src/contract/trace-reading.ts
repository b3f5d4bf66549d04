/** How a run was read out of its recording. */

/** Where the power of a run came from; `none` where it can be told from nothing that was recorded. */
export type PowerSource = 'wheel-power' | 'torque' | 'axle-torque' | 'roller-speed' | 'none'

/** What was cut from one run's recording, and why. */
export interface TraceReading {
  /** Id of the run. */
  readonly run: string
  /** Samples recorded. */
  readonly recorded: number
  /** Samples of the sweep: from the last minimum of engine speed before its first maximum, to that maximum. */
  readonly used: number
  /** Samples ahead of the sweep. */
  readonly beforeSweep: number
  /** Samples after it: throttle shut, coasting. */
  readonly afterSweep: number
  /** Isolated samples out of line with their neighbours. */
  readonly spikes: number
  /** Samples whose time does not lie after that of the sample ahead; they stay, and are told. */
  readonly repeatedTimes: number
  /** Lowest engine speed of the sweep. [rpm] */
  readonly from_rpm: number
  /** Highest engine speed of the sweep. [rpm] */
  readonly to_rpm: number
  /** By how much the roller speed peaks after the engine speed; null where the recording ends before. [s] */
  readonly rollerLag_s: number | null
  /** Where the power came from. */
  readonly powerFrom: PowerSource
  /** Whether a recorded coast-down gave the loss that was added to power from roller speed. */
  readonly coastDownLoss: boolean
}
