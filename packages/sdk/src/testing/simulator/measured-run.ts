import type { RunCurve } from './curve.ts'
import type { RunState } from './run-state.ts'
import type { RunSamples } from './samples.ts'

/** One run with its curve and columns; a conditioning run has none. */
export interface MeasuredRun {
  readonly state: RunState
  readonly curve: RunCurve | null
  readonly samples: RunSamples | null
}
