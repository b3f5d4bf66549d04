import { EngineError } from '../engine-error.ts'

/**
 * Vertical pull of one strap, which adds to the load of the drive tyre.
 *
 * F = T sin α, α from the horizontal.
 *
 * @param tension_N tension along the strap. [N], at or above 0
 * @param angle_rad angle between strap and horizontal. [rad], 0 to π/2
 * @returns downward force. [N], at or above 0
 * @throws EngineError `ERR_OUT_OF_RANGE` outside either interval.
 *
 * Source: the sine rule of cargo securing (tis-gdv.de, securing cargo 2.2.1). Tested: tests/published/straps.test.ts.
 */
export function verticalStrapForce_N(tension_N: number, angle_rad: number): number {
  if (!(tension_N >= 0)) throw new EngineError('ERR_OUT_OF_RANGE', `tension ${tension_N} N is below 0`, 'tension_N')
  if (!(angle_rad >= 0 && angle_rad <= Math.PI / 2)) {
    throw new EngineError('ERR_OUT_OF_RANGE', `angle ${angle_rad} rad is outside 0 to π/2`, 'angle_rad')
  }
  return tension_N * Math.sin(angle_rad)
}

/** One strap as it pulls. */
export interface StrapPull {
  /** Tension along the strap. [N], at or above 0 */
  readonly tension_N: number
  /** Angle from the horizontal. [rad], 0 to π/2 */
  readonly angle_rad: number
}

/**
 * Vertical pull of all straps together.
 *
 * F = Σ T sin α.
 *
 * @param straps one entry per strap; any order.
 * @returns downward force. [N], at or above 0; 0 without straps
 * @throws EngineError `ERR_OUT_OF_RANGE` when one strap is outside its intervals.
 *
 * Tested: tests/published/straps.test.ts.
 */
export function totalVerticalStrapForce_N(straps: readonly StrapPull[]): number {
  return straps.reduce((sum, { tension_N, angle_rad }) => sum + verticalStrapForce_N(tension_N, angle_rad), 0)
}
