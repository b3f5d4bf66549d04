import type { SessionRun } from '../inputs/session.ts'
import type { SpeedTrace } from '../statistics/detectors/speed-ratio-figures.ts'
import type { LoadedSpeedTrace } from '../statistics/detectors/tyre-and-straps.ts'
import { sweepCurve } from '../statistics/sweep-curve.ts'
import type { Traces } from './trace.ts'

/** Fewest samples with turning rollers that make a trace. */
const FEWEST_SAMPLES = 5

/**
 * Engine speed and roller speed of a run's sweep, where the rollers turn.
 *
 * @param run the run.
 * @param traces of the session.
 * @returns the trace, by rising engine speed; null without roller speed. Pure; never throws.
 */
export function speedTraceOf(run: SessionRun, traces: Traces): SpeedTrace | null {
  const columns = traces.get(run)?.columns
  const speed = columns?.rollerSpeed_m_per_s
  if (columns === undefined || speed == null) return null
  const isTurning = (_: number, i: number) => (speed[i] ?? 0) > 0
  const rollerSpeed_m_per_s = speed.filter(isTurning)
  if (rollerSpeed_m_per_s.length < FEWEST_SAMPLES) return null
  return { engineSpeed_rpm: columns.engineSpeed_rpm.filter(isTurning), rollerSpeed_m_per_s }
}

/** The same with the power that loads the tyre; null where either is missing. */
export function loadedTraceOf(run: SessionRun, traces: Traces): LoadedSpeedTrace | null {
  const columns = traces.get(run)?.columns
  const trace = speedTraceOf(run, traces)
  if (columns?.power_W == null || trace === null) return null
  const speed = columns.rollerSpeed_m_per_s
  return { ...trace, power_W: columns.power_W.filter((_, i) => (speed?.[i] ?? 0) > 0) }
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
