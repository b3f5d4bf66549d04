import { EngineError } from '../engine-error.ts'
import { defaultWindow_samples, localQuadratic } from './local-quadratic.ts'

function requirePositive(value: number, path: string): void {
  if (value > 0 && value < Number.POSITIVE_INFINITY) return
  throw new EngineError('ERR_OUT_OF_RANGE', `${value} is not above 0`, path)
}

/** A change of roller speed over a stretch of time. */
export interface SpeedChange {
  /** Moment of inertia of the roller. [kg m2], above 0 */
  readonly inertia_kg_m2: number
  /** Angular speed before and after. [rad/s] */
  readonly from_rad_per_s: number
  readonly to_rad_per_s: number
  /** Time between them. [s], above 0 */
  readonly duration_s: number
}

/**
 * Mean power that changed the roller's kinetic energy; no differentiation, so it checks one that has.
 *
 * P = I (ω2² - ω1²) / (2 t).
 *
 * @param change inertia, both speeds and the time between.
 * @returns mean power into the roller. [W], below 0 when it slowed down
 * @throws EngineError `ERR_OUT_OF_RANGE` when inertia or duration is not above 0.
 *
 * Tested: tests/published/inertia-drum.test.ts.
 */
export function meanRollerPower_W(change: SpeedChange): number {
  requirePositive(change.inertia_kg_m2, 'inertia_kg_m2')
  requirePositive(change.duration_s, 'duration_s')
  const energy_J = (change.inertia_kg_m2 * (change.to_rad_per_s ** 2 - change.from_rad_per_s ** 2)) / 2
  return energy_J / change.duration_s
}

/** Roller speed over time, and what turns. */
export interface RollerTrace {
  /** Strictly rising. [s], one entry per sample, sample order */
  readonly time_s: Float64Array
  /** Angular speed of the roller. [rad/s], same length */
  readonly rollerSpeed_rad_per_s: Float64Array
  /** Moment of inertia of roller and what turns with it. [kg m2], above 0 */
  readonly inertia_kg_m2: number
  /** Power that the roller itself loses at a speed, from its coast-down; absent: taken as 0. [W] */
  readonly lossPower_W?: (rollerSpeed_rad_per_s: number) => number
  /** Samples in the window of differentiation. odd, at least 5; 11 when absent */
  readonly window_samples?: number
}

/** Power at the wheel from roller speed; one entry per sample, sample order. */
export interface RollerPower {
  /** Smoothed roller speed. [rad/s] */
  readonly rollerSpeed_rad_per_s: Float64Array
  /** Angular acceleration of the roller. [rad/s2] */
  readonly acceleration_rad_per_s2: Float64Array
  /** Power at the wheel. [W] */
  readonly power_W: Float64Array
  /** Its standard uncertainty from the noise of the speed signal alone. [W] */
  readonly standardUncertainty_W: Float64Array
}

/**
 * Power at the wheel from the speed of an inertia roller.
 *
 * P = I α ω + P_loss(ω), α by local least squares over `window_samples` samples (`localQuadratic`).
 *
 * @param trace time, roller speed, inertia, losses and window.
 * @returns speed, acceleration, power and its standard uncertainty. That of the inertia is not in it: it scales both
 *   sides alike and leaves a relative gain alone.
 * @throws EngineError as `localQuadratic`, and `ERR_OUT_OF_RANGE` when the inertia is not above 0.
 *
 * Assumes: a rigid drive between roller and sensor; noise that is independent from sample to sample.
 * Uncertainty: Type A, u2(P) = s2 I2 (α2 var ω + ω2 var α + 2 α ω cov), s2 the pooled residual variance. Neighbouring
 * samples share it over the width of the window. Tested: tests/engine/physics/roller.test.ts.
 */
export function rollerPower(trace: RollerTrace): RollerPower {
  const { inertia_kg_m2: I, lossPower_W = () => 0 } = trace
  requirePositive(I, 'inertia_kg_m2')
  const fit = localQuadratic(trace.time_s, trace.rollerSpeed_rad_per_s, trace.window_samples ?? defaultWindow_samples)

  const power_W = new Float64Array(fit.value.length)
  const standardUncertainty_W = new Float64Array(fit.value.length)
  for (let i = 0; i < power_W.length; i++) {
    const w = fit.value[i] ?? Number.NaN
    const a = fit.slope[i] ?? Number.NaN
    const ofSpeed = a ** 2 * (fit.valueVariance[i] ?? 0)
    const ofAcceleration = w ** 2 * (fit.slopeVariance[i] ?? 0)
    const shared = 2 * a * w * (fit.covariance[i] ?? 0)
    power_W[i] = I * a * w + lossPower_W(w)
    standardUncertainty_W[i] = I * Math.sqrt(fit.residualVariance * Math.max(0, ofSpeed + ofAcceleration + shared))
  }
  return { rollerSpeed_rad_per_s: fit.value, acceleration_rad_per_s2: fit.slope, power_W, standardUncertainty_W }
}

/**
 * Rate at which a speed rises over a whole sweep.
 *
 * Least-squares slope of speed on time.
 *
 * @param time_s strictly rising. [s], at least 2 samples
 * @param speed_rad_per_s engine or roller speed, same length. [rad/s]
 * @returns mean acceleration. [rad/s2]
 * @throws EngineError `ERR_LENGTH`, `ERR_EMPTY`.
 *
 * Tested: tests/engine/physics/roller.test.ts.
 */
export function sweepRate_rad_per_s2(time_s: Float64Array, speed_rad_per_s: Float64Array): number {
  const n = time_s.length
  if (n !== speed_rad_per_s.length)
    throw new EngineError('ERR_LENGTH', 'time and speed differ in length', 'speed_rad_per_s')
  if (n < 2) throw new EngineError('ERR_EMPTY', 'a sweep needs at least 2 samples', 'time_s')

  const meanTime = time_s.reduce((sum, t) => sum + t, 0) / n
  const meanSpeed = speed_rad_per_s.reduce((sum, w) => sum + w, 0) / n
  let [products, squares] = [0, 0]
  for (let i = 0; i < n; i++) {
    const t = (time_s[i] ?? Number.NaN) - meanTime
    products += t * ((speed_rad_per_s[i] ?? Number.NaN) - meanSpeed)
    squares += t * t
  }
  return products / squares
}
