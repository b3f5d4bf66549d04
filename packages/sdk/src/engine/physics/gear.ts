import type { Gearing } from '../../contract/vehicle.ts'
import { EngineError } from '../engine-error.ts'

/**
 * Reduction from the crankshaft to the driven wheel.
 *
 * i = primary · gear · final.
 *
 * @param gearing ratios of the drive line, each above 0. [1]
 * @param gear gear number, first gear is 1.
 * @returns overall ratio: crankshaft revolutions per wheel revolution. [1]
 * @throws EngineError `ERR_OUT_OF_RANGE` when the gearing has no such gear.
 */
export function overallRatio_1(gearing: Gearing, gear: number): number {
  const ratio = gearing.gears[gear - 1]
  if (ratio === undefined) {
    throw new EngineError('ERR_OUT_OF_RANGE', `gear ${gear} is not one of ${gearing.gears.length}`, 'gear')
  }
  return gearing.primary * ratio * gearing.final
}

/**
 * Road speed by geometry, without slip.
 *
 * v = n C / i, n in revolutions per second.
 *
 * @param engineSpeed_rad_per_s engine speed. [rad/s]
 * @param overallRatio_1 crankshaft to wheel. [1], above 0
 * @param circumference_m rolling circumference of the drive tyre. [m], above 0
 * @returns surface speed. [m/s]
 *
 * Pure; never throws. Uncertainty: under load a tyre slips 1 to 4 % (from memory), so the true speed is lower.
 * Tested: tests/published/gearing.test.ts.
 */
export function roadSpeed_m_per_s(
  engineSpeed_rad_per_s: number,
  overallRatio_1: number,
  circumference_m: number,
): number {
  return ((engineSpeed_rad_per_s / (2 * Math.PI)) * circumference_m) / overallRatio_1
}

/**
 * Crankshaft angle per distance on the roller surface: the speed ratio that a trace shows.
 *
 * r = ω / v.
 *
 * @param engineSpeed_rad_per_s engine speed. [rad/s]
 * @param surfaceSpeed_m_per_s roller surface speed. [m/s], above 0
 * @returns speed ratio. [rad/m]
 * @throws EngineError `ERR_OUT_OF_RANGE` when the surface speed is not above 0.
 */
export function speedRatio_rad_per_m(engineSpeed_rad_per_s: number, surfaceSpeed_m_per_s: number): number {
  if (surfaceSpeed_m_per_s > 0) return engineSpeed_rad_per_s / surfaceSpeed_m_per_s
  throw new EngineError('ERR_OUT_OF_RANGE', `speed ${surfaceSpeed_m_per_s} m/s is not above 0`, 'surfaceSpeed_m_per_s')
}

/**
 * Slip between tyre and roller, against geometry.
 *
 * s = 1 - v / (n C / i).
 *
 * @param speedRatio_rad_per_m speed ratio as recorded. [rad/m], above 0
 * @param overallRatio_1 crankshaft to wheel. [1], above 0
 * @param circumference_m free rolling circumference. [m], above 0
 * @returns slip, with the loss of radius under load in it. [1]; 0 when the trace follows the geometry
 *
 * Pure; never throws.
 */
export function slip_1(speedRatio_rad_per_m: number, overallRatio_1: number, circumference_m: number): number {
  return 1 - (2 * Math.PI * overallRatio_1) / (circumference_m * speedRatio_rad_per_m)
}

/**
 * Radius at which a loaded, driven tyre rolls on its roller.
 *
 * R = i / r, r the speed ratio: the radius that needs no slip to explain the trace.
 *
 * @param speedRatio_rad_per_m speed ratio as recorded. [rad/m], above 0
 * @param overallRatio_1 crankshaft to wheel. [1], above 0
 * @returns effective rolling radius. [m]; a few per cent below the free radius
 *
 * Pure; never throws.
 */
export function effectiveRollingRadius_m(speedRatio_rad_per_m: number, overallRatio_1: number): number {
  return overallRatio_1 / speedRatio_rad_per_m
}

/** The gear that a speed ratio points at. */
export interface IdentifiedGear {
  /** Gear number, first gear is 1. */
  readonly gear: number
  /** ln(observed / geometric) for that gear: positive when slip and load make the engine turn faster. [1] */
  readonly deviation_1: number
  /** The same for the next best gear; infinite for a single-gear drive. [1] */
  readonly runnerUpDeviation_1: number
}

/**
 * The gear whose geometry lies nearest to a recorded speed ratio.
 *
 * Smallest |ln(r C / (2 π i))| over the gears.
 *
 * @param speedRatio_rad_per_m speed ratio at low load, where slip is least. [rad/m], above 0
 * @param gearing ratios of the drive line, each above 0; at least one gear.
 * @param circumference_m rolling circumference of the drive tyre. [m], above 0
 * @returns the nearest gear with its deviation, and that of the runner-up: how far the answer is from ambiguous.
 * @throws EngineError `ERR_EMPTY` when the gearing has no gear; `ERR_OUT_OF_RANGE` when the speed ratio or the
 *   circumference is not above 0.
 *
 * Uncertainty: load, wear and slip make up to about 4 % (from memory); neighbouring gears lie 8 % or more apart.
 */
export function identifyGear(speedRatio_rad_per_m: number, gearing: Gearing, circumference_m: number): IdentifiedGear {
  if (!(speedRatio_rad_per_m > 0 && circumference_m > 0)) {
    throw new EngineError('ERR_OUT_OF_RANGE', 'speed ratio and circumference must be above 0', 'speedRatio_rad_per_m')
  }
  const ranked = gearing.gears
    .map((_, index) => {
      const geometric = (2 * Math.PI * overallRatio_1(gearing, index + 1)) / circumference_m
      return { gear: index + 1, deviation_1: Math.log(speedRatio_rad_per_m / geometric) }
    })
    .toSorted((a, b) => Math.abs(a.deviation_1) - Math.abs(b.deviation_1))

  const [nearest, runnerUp] = ranked
  if (nearest === undefined) throw new EngineError('ERR_EMPTY', 'the gearing has no gear', 'gearing.gears')
  return { ...nearest, runnerUpDeviation_1: runnerUp?.deviation_1 ?? Number.POSITIVE_INFINITY }
}
