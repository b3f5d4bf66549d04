import type { TraceReading } from '../../contract/trace-reading.ts'
import type { RunChannels } from '../inputs/channels.ts'
import type { Session, SessionRun } from '../inputs/session.ts'
import { pick, type SweepSection, sweepSection } from '../inputs/sweep-section.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import { risingOrder, type SweepCurve, sweepCurve } from '../statistics/sweep-curve.ts'
import { rollerLag_s } from './roller-lag.ts'
import { type DerivedPower, wheelPowerOf } from './wheel-power.ts'

/** The columns of one sweep by rising engine speed; null where not recorded. All have one length. */
export interface SweepColumns {
  /** [rpm], rising; equal speeds stand side by side */
  readonly engineSpeed_rpm: Float64Array
  /** As recorded, or computed where only torque or roller speed was. [W] */
  readonly power_W: Float64Array | null
  /** Torque as printed. [N m] */
  readonly torque_Nm: Float64Array | null
  /** Surface speed of the rollers. [m/s] */
  readonly rollerSpeed_m_per_s: Float64Array | null
  /** [1] */
  readonly lambda_1: Float64Array | null
  /** Any rising scale. [1] */
  readonly throttle_1: Float64Array | null
}

/** Columns of the samples at which the rollers turn, by rising engine speed. */
export interface TurningColumns {
  /** [rpm] */
  readonly engineSpeed_rpm: Float64Array
  /** [m/s], above 0 */
  readonly rollerSpeed_m_per_s: Float64Array
  /** Null where no power can be told. [W] */
  readonly power_W: Float64Array | null
}

/** One run's recording, read once: its sweep, its columns and its power curve. */
export interface RunTrace {
  /** Where the sweep lies in the recording. */
  readonly section: SweepSection
  /** Columns inside the sweep. */
  readonly columns: SweepColumns
  /** Columns while the rollers turn; null without roller speed, or where too few samples hold any. */
  readonly turning: TurningColumns | null
  /** Lambda over engine speed, cut and averaged as power is; null without a mixture channel. [1] */
  readonly lambda: SweepCurve | null
  /** Power over engine speed as the method takes it; null where no power can be told. */
  readonly curve: SweepCurve | null
  /** Where the power came from. */
  readonly power: DerivedPower
  /** Largest fall of the engine speed below what the sweep had reached. [rpm] */
  readonly fallBack_rpm: number
  /** By how much the roller speed reaches its highest value later than the engine speed; null where it cannot be told. [s] */
  readonly rollerLag_s: number | null
}

/** The traces of the measured runs; runs that were only reported, or recorded no engine speed, have none. */
export type Traces = ReadonlyMap<SessionRun, RunTrace>

/**
 * Every measured run's recording, read once. Excluded runs are read too: the result is shown with and without them.
 *
 * @param session the session.
 * @returns traces by run. Pure; never throws.
 */
export function tracesOf(session: Session): Traces {
  const measured = session.runs.filter(({ wire }) => wire.purpose === 'measured')
  return new Map(
    measured.flatMap((run) => {
      const trace = traceOf(run, session)
      return trace === null ? [] : [[run, trace] as const]
    }),
  )
}

/** The trace of one run; null where it recorded no engine speed. */
export function traceOf(run: SessionRun, session: Session): RunTrace | null {
  const { channels } = run
  if (channels?.engineSpeed_rpm == null) return null
  const section = sweepSection(channels.engineSpeed_rpm, channels.time_s)
  const lag_s = rollerLag_s(channels, section)
  const power = wheelPowerOf({ run, session, channels, section })
  const speeds = pick(channels.engineSpeed_rpm, section.samples)
  const columns = columnsOf(channels, section, speeds, power)
  return {
    section,
    columns,
    turning: turningColumns(columns),
    lambda: columns.lambda_1 === null ? null : sweepCurve(columns.engineSpeed_rpm, columns.lambda_1),
    curve: power.power_W === null ? null : sweepCurve(speeds, power.power_W),
    power,
    fallBack_rpm: fallBack_rpm(speeds),
    rollerLag_s: lag_s,
  }
}

function columnsOf(
  channels: RunChannels,
  { samples }: SweepSection,
  speeds: Float64Array,
  { power_W }: DerivedPower,
): SweepColumns {
  const order = risingOrder(speeds)
  const recorded = order === null ? samples : order.map((i) => samples[i] ?? 0)
  const column = (values: Float64Array | null) => (values === null ? null : pick(values, recorded))
  return {
    engineSpeed_rpm: order === null ? speeds : pick(speeds, order),
    power_W: power_W === null || order === null ? power_W : pick(power_W, order),
    torque_Nm: column(channels.torque_Nm),
    rollerSpeed_m_per_s: column(channels.rollerSpeed_m_per_s),
    lambda_1: column(channels.lambda_1),
    throttle_1: column(channels.throttle_1),
  }
}

/** Fewest samples with turning rollers that tell a speed ratio. */
const FEWEST_TURNING = 5

function turningColumns({ engineSpeed_rpm, rollerSpeed_m_per_s, power_W }: SweepColumns): TurningColumns | null {
  if (rollerSpeed_m_per_s === null) return null
  const isTurning = (_: number, i: number) => (rollerSpeed_m_per_s[i] ?? 0) > 0
  const isAlways = rollerSpeed_m_per_s.every((speed) => speed > 0)
  const turning = <T extends Float64Array | null>(column: T) =>
    isAlways ? column : (column?.filter(isTurning) ?? null)
  const speed = turning(rollerSpeed_m_per_s)
  const engine = turning(engineSpeed_rpm)
  if (speed === null || engine === null || speed.length < FEWEST_TURNING) return null
  return { engineSpeed_rpm: engine, rollerSpeed_m_per_s: speed, power_W: turning(power_W) }
}

function fallBack_rpm(speeds: Float64Array): number {
  let [highest, deepest] = [Number.NEGATIVE_INFINITY, 0]
  for (const speed of speeds) {
    highest = Math.max(highest, speed)
    deepest = Math.max(deepest, highest - speed)
  }
  return deepest
}

/**
 * How each used run was read out of its recording, for the accounting.
 *
 * @param used the runs used.
 * @param traces of them.
 * @returns one reading per run with a recording, in run order; numbers rounded to 6 significant digits.
 */
export function traceReadings(used: readonly SessionRun[], traces: Traces): readonly TraceReading[] {
  return used.flatMap((run) => {
    const trace = traces.get(run)
    return trace === undefined ? [] : [readingOf(run, trace)]
  })
}

/** One reading. */
export function readingOf(run: SessionRun, { section, columns, power, rollerLag_s: lag_s }: RunTrace): TraceReading {
  return {
    run: run.id,
    recorded: section.recorded,
    used: section.samples.length,
    beforeSweep: section.before,
    afterSweep: section.after,
    spikes: section.spikes,
    repeatedTimes: section.repeatedTimes,
    from_rpm: roundSignificant(columns.engineSpeed_rpm[0] ?? 0),
    to_rpm: roundSignificant(columns.engineSpeed_rpm.at(-1) ?? 0),
    rollerLag_s: lag_s === null ? null : roundSignificant(lag_s),
    powerFrom: power.source,
    coastDownLoss: power.hasCoastDownLoss,
  }
}
