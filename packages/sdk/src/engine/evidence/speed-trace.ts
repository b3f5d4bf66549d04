import type { SessionRun } from '../inputs/session.ts'
import type { SpeedTrace } from '../statistics/detectors/speed-ratio-figures.ts'
import type { LoadedSpeedTrace } from '../statistics/detectors/tyre-and-straps.ts'
import { sweepCurve } from '../statistics/sweep-curve.ts'
import type { Traces } from './trace.ts'

/**
 * Engine speed and roller speed of a run's sweep, where the rollers turn.
 *
 * @param run the run.
 * @param traces of the session.
 * @returns the trace, by rising engine speed; null without roller speed. Pure; never throws.
 */
export function speedTraceOf(run: SessionRun, traces: Traces): SpeedTrace | null {
  return traces.get(run)?.turning ?? null
}

/** The same with the power that loads the tyre; null where either is missing. */
export function loadedTraceOf(run: SessionRun, traces: Traces): LoadedSpeedTrace | null {
  const turning = traces.get(run)?.turning
  return turning?.power_W == null ? null : { ...turning, power_W: turning.power_W }
}

/** The trace averaged as a power curve is: what a step is looked for in, so that a fine recording's noise is none. */
export function averagedTrace({ engineSpeed_rpm, rollerSpeed_m_per_s }: SpeedTrace): SpeedTrace {
  const curve = sweepCurve(engineSpeed_rpm, rollerSpeed_m_per_s)
  return { engineSpeed_rpm: curve.engineSpeed_rpm, rollerSpeed_m_per_s: curve.power }
}

/** One value per run, or null where one is missing. */
export function forEveryRun<T>(runs: readonly SessionRun[], read: (run: SessionRun) => T | null): readonly T[] | null {
  const values = runs.flatMap((run) => {
    const value = read(run)
    return value === null ? [] : [value]
  })
  return values.length === runs.length && runs.length > 0 ? values : null
}
