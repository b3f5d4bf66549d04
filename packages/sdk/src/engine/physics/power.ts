import { EngineError } from '../engine-error.ts'

/**
 * Power of a turning shaft.
 *
 * P = T ω.
 *
 * @param torque_N_m torque of the shaft. [N m]
 * @param speed_rad_per_s angular speed of the same shaft. [rad/s]
 * @returns power. [W], with the sign of the torque for a speed above 0
 *
 * Pure; never throws. Source: mechanics; NIST SP 811 for the constants 5252.113 (hp, lbf ft, rpm) and 9549.297 (kW, N m,
 * rpm) that follow. Tested: tests/published/power-and-torque.test.ts.
 */
export function power_W(torque_N_m: number, speed_rad_per_s: number): number {
  return torque_N_m * speed_rad_per_s
}

/**
 * Torque of a turning shaft.
 *
 * T = P / ω. Wheel power over engine speed gives what the trade prints as torque; over axle speed, the axle torque.
 *
 * @param power_W power of the shaft. [W]
 * @param speed_rad_per_s angular speed of the same shaft. [rad/s], above 0
 * @returns torque. [N m]
 * @throws EngineError `ERR_OUT_OF_RANGE` when the speed is not above 0.
 *
 * Tested: tests/published/power-and-torque.test.ts.
 */
export function torque_N_m(power_W: number, speed_rad_per_s: number): number {
  if (!(speed_rad_per_s > 0)) {
    throw new EngineError('ERR_OUT_OF_RANGE', `speed ${speed_rad_per_s} rad/s is not above 0`, 'speed_rad_per_s')
  }
  return power_W / speed_rad_per_s
}

/**
 * Power of a force along its path, as at a tyre's contact.
 *
 * P = F v.
 *
 * @param force_N tractive force. [N]
 * @param speed_m_per_s surface speed. [m/s]
 * @returns power. [W]
 *
 * Pure; never throws.
 */
export function tractivePower_W(force_N: number, speed_m_per_s: number): number {
  return force_N * speed_m_per_s
}
