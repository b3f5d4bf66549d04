/** Units in which the two sides can be drawn. */
import { type UnitOf, units } from '@fairpull/sdk/contract'
import { convert } from '@fairpull/sdk/engine'

/** A unit of the upper panel. */
export type ChartUnit = 'kW' | 'hp' | 'N m' | 'lbf ft'

/** Every unit, the one used when none is named first. */
export const chartUnits: readonly ChartUnit[] = ['kW', 'hp', 'N m', 'lbf ft']

/** Units in addresses and ids: `lbf-ft` for `lbf ft`. */
export function unitSlug(unit: ChartUnit): string {
  return unit.replace(' ', '-')
}

/** What is drawn in a unit. */
export function quantityOf(unit: ChartUnit): 'power' | 'torque' {
  return unit === 'kW' || unit === 'hp' ? 'power' : 'torque'
}

const RAD_PER_S_PER_RPM = convert(1, 'rpm', 'rad/s')

/**
 * A power at an engine speed, in a unit of the chart.
 *
 * Torque = power / engine angular speed: what the trade prints, not the torque at the axle. Pure.
 */
export function inUnit(power_kW: number, engineSpeed_rpm: number, unit: ChartUnit): number {
  if (unit === 'kW') return power_kW
  if (unit === 'hp') return convert(power_kW, 'kW', 'hp')
  const torque_Nm = (power_kW * 1000) / (engineSpeed_rpm * RAD_PER_S_PER_RPM)
  return unit === 'N m' ? torque_Nm : convert(torque_Nm, 'N m', 'lbf ft')
}

/** The power of a power or a torque at an engine speed; the torque is that at the engine's speed, as in `inUnit`. [kW] Pure. */
export function powerOf_kW(value: number, unit: UnitOf<'power'> | UnitOf<'torque'>, engineSpeed_rpm: number): number {
  if (!isTorque(unit)) return convert(value, unit, 'kW')
  return (convert(value, unit, 'N m') * engineSpeed_rpm * RAD_PER_S_PER_RPM) / 1000
}

function isTorque(unit: UnitOf<'power'> | UnitOf<'torque'>): unit is UnitOf<'torque'> {
  return units.torque.some((each) => each === unit)
}
