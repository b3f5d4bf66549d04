import type { SessionRun } from '../inputs/session.ts'
import { vehicleOf } from '../inputs/session.ts'
import { type IdentifiedGear, identifyGear, overallRatio_1, speedRatio_rad_per_m } from '../physics/gear.ts'
import { freeCircumference_m, parseTyreSize } from '../physics/tyre.ts'
import { convert } from '../physics/units.ts'
import { lowLoadRatio } from '../statistics/detectors/speed-ratio-figures.ts'
import type { Evidence } from './evidence.ts'
import { speedTraceOf } from './speed-trace.ts'

/** What the speed ratio of a run says of its gear. */
export interface GearReading {
  /** The gear whose geometry lies nearest. */
  readonly nearest: IdentifiedGear
  /** Recorded speed ratio over that of the declared gear; null where none is declared. [1] */
  readonly againstDeclared_1: number | null
}

const RAD_PER_S_PER_RPM = convert(1, 'rpm', 'rad/s')

/**
 * The gear that engine speed over roller speed shows, by the gearing and the roll-out of the drive tyre.
 *
 * @param run the run.
 * @param evidence traces, vehicle and tyre.
 * @returns the reading; null without roller speed, gearing, or a tyre size that can be read. Pure; never throws.
 *
 * Uncertainty: load, wear and slip make up to about 4 % (from memory); see physics/gear.ts.
 */
export function gearReadingOf(run: SessionRun, { session, traces }: Evidence): GearReading | null {
  const trace = speedTraceOf(run, traces)
  const gearing = vehicleOf(session, run)?.gearing
  const size = session.comparison.driveTyres?.find(({ id }) => id === run.setup.driveTyre)?.size
  const tyre = size === undefined ? null : parseTyreSize(size)
  if (trace === null || gearing === undefined || tyre?.kind !== 'size') return null

  const circumference_m = freeCircumference_m(tyre)
  const ratio = speedRatio_rad_per_m(lowLoadRatio(trace) * RAD_PER_S_PER_RPM, 1)
  const { gear } = run.setup
  const isKnown = gear !== undefined && gearing.gears[gear - 1] !== undefined
  return {
    nearest: identifyGear(ratio, gearing, circumference_m),
    againstDeclared_1: isKnown ? (ratio * circumference_m) / (2 * Math.PI * overallRatio_1(gearing, gear)) : null,
  }
}
