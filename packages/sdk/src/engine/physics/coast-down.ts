import { EngineError } from '../engine-error.ts'
import { defaultWindow_samples, localQuadratic } from './local-quadratic.ts'

/** Resistance that slows a coasting mass. */
export interface Resistance {
  /** A, the part that does not depend on speed. [N], at or above 0 */
  readonly constant_N: number
  /** C, the part that grows with the square of the speed. [N s2/m2], at or above 0 */
  readonly quadratic_N_s2_per_m2: number
}

/**
 * Resistance at a speed.
 *
 * F = A + C v2.
 *
 * @param resistance both parts.
 * @param speed_m_per_s surface speed. [m/s], at or above 0
 * @returns force against the motion. [N]
 *
 * Pure; never throws. Source: 40 CFR 86.529-98. Tested: tests/published/40-cfr-86-529.test.ts.
 */
export function resistance_N(resistance: Resistance, speed_m_per_s: number): number {
  return resistance.constant_N + resistance.quadratic_N_s2_per_m2 * speed_m_per_s ** 2
}

/** A mass that coasts from one speed down to another. */
export interface CoastDown {
  /** Equivalent mass of everything that slows down. [kg], above 0 */
  readonly equivalentMass_kg: number
  readonly resistance: Resistance
  /** Speed at the start. [m/s], above the end speed */
  readonly from_m_per_s: number
  /** Speed at the end. [m/s], at or above 0; above 0 when A is 0 */
  readonly to_m_per_s: number
}

/** Terms smaller than this share of the resistance cannot be told from 0 in double precision. */
const negligibleShare_1 = 1e-12

/**
 * Time of a coast-down, in closed form.
 *
 * t = m / √(A C) [atan(v2 √(C / A)) - atan(v1 √(C / A))]; m / C (1 / v1 - 1 / v2) for A = 0; m (v2 - v1) / A for C = 0.
 *
 * @param coastDown mass, resistance and both speeds; v2 is the higher one.
 * @returns time from the higher speed to the lower. [s], above 0
 * @throws EngineError `ERR_OUT_OF_RANGE` when a member is outside its interval or both parts of the resistance are 0.
 *
 * Source: integral of m dv / (A + C v2). Tested: tests/published/40-cfr-86-529.test.ts.
 */
export function coastDownTime_s(coastDown: CoastDown): number {
  const { equivalentMass_kg: m, from_m_per_s: v2, to_m_per_s: v1 } = coastDown
  const { constant_N: A, quadratic_N_s2_per_m2: C } = coastDown.resistance
  const hasResistance = A >= 0 && C >= 0 && A + C > 0
  const hasMotion = m > 0 && v2 > v1 && v1 >= 0 && (A > 0 || v1 > 0)
  if (!(hasResistance && hasMotion)) {
    throw new EngineError('ERR_OUT_OF_RANGE', 'mass, resistance and speeds do not make a coast-down', 'coastDown')
  }
  const ofSquare = C * v2 ** 2
  if (A <= negligibleShare_1 * ofSquare) return (m / C) * (1 / v1 - 1 / v2)
  if (ofSquare <= negligibleShare_1 * A) return (m * (v2 - v1)) / A
  const k = Math.sqrt(C / A)
  return (m / Math.sqrt(A * C)) * (Math.atan(v2 * k) - Math.atan(v1 * k))
}

/** A recorded coast-down. */
export interface CoastDownTrace {
  /** Strictly rising. [s], one entry per sample, sample order */
  readonly time_s: Float64Array
  /** Falling surface speed. [m/s], same length */
  readonly speed_m_per_s: Float64Array
  /** Equivalent mass of everything that slows down. [kg], above 0 */
  readonly equivalentMass_kg: number
  /** Samples in the window of differentiation. odd, at least 5; 11 when absent */
  readonly window_samples?: number
}

/** Resistance as a coast-down shows it. */
export interface FittedResistance extends Resistance {
  /** Scatter of the local forces about the fitted curve. [N] */
  readonly residualSd_N: number
}

/**
 * Resistance from a recorded coast-down.
 *
 * F = -m dv/dt = A + C v2: the slope by local least squares (`localQuadratic`), then least squares of F on 1 and v2.
 *
 * @param trace time, speed, equivalent mass and window.
 * @returns both parts and the scatter about them. A part may come out below 0 where the record is noisy or short: that
 *   is evidence, not hidden.
 * @throws EngineError as `localQuadratic`; `ERR_OUT_OF_RANGE` when the mass is not above 0 or the speed does not change.
 *
 * Assumes: rolling loss that does not depend on speed, air drag that goes with its square.
 * Tested: tests/engine/physics/coast-down.test.ts.
 */
export function fittedResistance(trace: CoastDownTrace): FittedResistance {
  const { equivalentMass_kg: m, window_samples = defaultWindow_samples } = trace
  if (!(m > 0)) throw new EngineError('ERR_OUT_OF_RANGE', `mass ${m} kg is not above 0`, 'equivalentMass_kg')
  const { value, slope } = localQuadratic(trace.time_s, trace.speed_m_per_s, window_samples)
  const squares = value.map((v) => v * v)
  const forces = slope.map((a) => -m * a)
  const line = straightLine(squares, forces)
  return { constant_N: line.intercept, quadratic_N_s2_per_m2: line.slope, residualSd_N: line.residualSd }
}

function straightLine(x: Float64Array, y: Float64Array): { intercept: number; slope: number; residualSd: number } {
  const meanX = x.reduce((sum, v) => sum + v, 0) / x.length
  const meanY = y.reduce((sum, v) => sum + v, 0) / y.length
  const sxx = x.reduce((sum, v) => sum + (v - meanX) ** 2, 0)
  const roundingNoise = 1e-18 * x.length * meanX ** 2
  if (!(sxx > roundingNoise)) throw new EngineError('ERR_OUT_OF_RANGE', 'the speed does not change', 'speed_m_per_s')

  const slope = x.reduce((sum, v, i) => sum + (v - meanX) * ((y[i] ?? Number.NaN) - meanY), 0) / sxx
  const intercept = meanY - slope * meanX
  const squares = x.reduce((sum, v, i) => sum + ((y[i] ?? Number.NaN) - intercept - slope * v) ** 2, 0)
  return { intercept, slope, residualSd: Math.sqrt(squares / (x.length - 2)) }
}

/**
 * Power that a roller loses to its own resistance.
 *
 * P = (A + C v2) v, v = ω r.
 *
 * @param resistance of the roller alone, from its coast-down.
 * @param radius_m radius of its surface. [m], above 0
 * @returns the loss as a function of roller speed [rad/s], in W: what `rollerPower` adds.
 *
 * Pure; never throws.
 */
export function rollerLossPower_W(resistance: Resistance, radius_m: number): (rollerSpeed_rad_per_s: number) => number {
  return (speed) => resistance_N(resistance, speed * radius_m) * speed * radius_m
}
