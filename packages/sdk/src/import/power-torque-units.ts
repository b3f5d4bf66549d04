/** Units in which power and torque agree: power is torque times angular speed. Pure. */
import type { ChannelName } from './column-mapping.ts'
import type { SeenColumn } from './seen-columns.ts'

/** Sizes in SI. NIST SP 811, exact. */
const sizes = {
  rpm: Math.PI / 30,
  'rad/s': 1,
  W: 1,
  kW: 1000,
  hp: 550 * 0.3048 * 4.4482216152605,
  PS: 75 * 9.80665,
  'N m': 1,
  'lbf ft': 0.3048 * 4.4482216152605,
  'kgf m': 9.80665,
} as const

const powerUnits = ['W', 'kW', 'hp', 'PS'] as const
const torqueUnits = ['N m', 'lbf ft', 'kgf m'] as const
const speedUnits = ['rpm', 'rad/s'] as const

/** Most by which power and torque times speed may differ: hp and PS lie 1.4 % apart. [1] Assumed, no source. */
const TOLERANCE = 0.005

/** Units that a column may have: the stated one, else all of the channel. */
function open<U extends string>(stated: string | null, all: readonly U[]): readonly U[] {
  const known = all.find((unit) => unit === stated)
  return known === undefined ? all : [known]
}

/**
 * For power, torque and engine speed the units in which all three agree, where all are there and some units are open.
 *
 * P = T·ω; of each sample the ratio, of the ratios the median.
 */
export function powerTorqueUnits(
  columns: ReadonlyMap<ChannelName, SeenColumn>,
): ReadonlyMap<ChannelName, readonly string[]> {
  const [power, torque, speed] = [columns.get('wheelPower'), columns.get('torque'), columns.get('engineSpeed')]
  if (power === undefined || torque === undefined || speed === undefined) return new Map()
  const ratio = middle(power.values.map((p, k) => p / ((torque.values[k] ?? 0) * (speed.values[k] ?? 0))))
  const found = { power: new Set<string>(), torque: new Set<string>(), speed: new Set<string>() }
  for (const p of open(power.unit, powerUnits)) {
    for (const t of open(torque.unit, torqueUnits)) {
      for (const n of open(speed.unit, speedUnits)) {
        if (Math.abs((ratio * sizes[p]) / (sizes[t] * sizes[n]) - 1) > TOLERANCE) continue
        found.power.add(p)
        found.torque.add(t)
        found.speed.add(n)
      }
    }
  }
  return new Map<ChannelName, readonly string[]>([
    ['wheelPower', powerUnits.filter((unit) => found.power.has(unit))],
    ['torque', torqueUnits.filter((unit) => found.torque.has(unit))],
    ['engineSpeed', speedUnits.filter((unit) => found.speed.has(unit))],
  ])
}

function middle(ratios: readonly number[]): number {
  const finite = ratios.filter(Number.isFinite).toSorted((a, b) => a - b)
  return finite[Math.floor(finite.length / 2)] ?? Number.NaN
}
