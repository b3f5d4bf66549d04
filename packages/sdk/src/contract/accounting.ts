/** What became of every run of a comparison: part of the result. */
import type { Exclusion } from './comparison.ts'
import type { Side } from './run.ts'
import type { TraceReading } from './trace-reading.ts'

/** What became of every run. */
export interface Accounting {
  /** Runs in the document. */
  readonly recorded: number
  /** Runs that entered the figures. */
  readonly used: readonly string[]
  /** Measured runs left out, with the rule. */
  readonly excluded: readonly ExcludedRun[]
  /** Runs by purpose other than measured. */
  readonly notMeasured: readonly NotMeasuredRun[]
  /** Counter numbers declared as no runs of this comparison. */
  readonly unlisted: number
  /** Counter numbers between first and last that nobody accounts for. */
  readonly unaccounted: readonly number[]
  /** Usable runs of each side. */
  readonly perSide: Readonly<Record<Side, number>>
  /** How each used run was read out of its recording: what was cut, and why. */
  readonly traces: readonly TraceReading[]
}

/** A run left out. */
export interface ExcludedRun {
  /** Id of the run. */
  readonly run: string
  /** The rule. */
  readonly rule: Exclusion['rule'] | 'duplicate'
  /** The reason given. */
  readonly reason: string
}

/** A run that was not for measuring. */
export interface NotMeasuredRun {
  /** Id of the run. */
  readonly run: string
  /** Its purpose. */
  readonly purpose: 'conditioning' | 'tuning' | 'aborted' | 'diagnosis'
}
