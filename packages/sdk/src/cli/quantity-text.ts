/** Numbers and names of a result in words. Pure. */
import type { CorrectionId, GainSubject, Interval } from '../contract/index.ts'
import type { Look } from './look.ts'

/** A number with its sign, as many digits as its interval supports. */
export function signed(value: number, decimals: number, look: Look): string {
  const text = Math.abs(value).toFixed(decimals)
  if (Number(text) === 0) return text
  return `${value > 0 ? '+' : look.signs.minus}${text}`
}

/** Two decimals where the interval is narrower than ±1, else one; without an interval two. */
export function decimalsOf({ low, high }: Interval): number {
  return low !== null && high !== null && high - low >= 2 ? 1 : 2
}

/** `+2.75 %, 95 % interval +2.31 to +3.20 %`; the estimate alone where there is no interval. */
export function intervalText(interval: Interval, unit: string, look: Look): string {
  if (interval.estimate === null) return 'no estimate'
  const decimals = decimalsOf(interval)
  const estimate = `${signed(interval.estimate, decimals, look)} ${unit}`
  const range = rangeText(interval, unit, look)
  return range === '' ? `${estimate}, no interval` : `${estimate}, 95 % interval ${range}`
}

/** `+2.31 to +3.20 %`; empty where there is no interval. */
export function rangeText(interval: Interval, unit: string, look: Look): string {
  const { low, high } = interval
  if (low === null || high === null) return ''
  const decimals = decimalsOf(interval)
  return `${signed(low, decimals, look)} to ${signed(high, decimals, look)} ${unit}`
}

/** What a gain is of: `power, mean from 3000 to 9000 rpm`. */
export function subjectText(of: GainSubject): string {
  const quantity = of.quantity === 'wheel-power' ? 'power' : 'torque'
  if (of.kind === 'peak') return `peak ${quantity}`
  if (of.kind === 'at-speed') return `${quantity} at ${of.from_rpm} rpm`
  return `mean ${quantity}, ${of.from_rpm} to ${of.to_rpm} rpm`
}

const correctionNames: Readonly<Record<CorrectionId | 'as-printed', string>> = {
  none: 'not corrected for the air',
  'as-printed': 'as printed: what was done to the figures is not known',
  'un-r85': 'corrected to UN R85 air',
  'eu-134-2014': 'corrected to EU 134/2014 air',
  'sae-j1349-jun90': 'corrected to SAE J1349 (Jun 90) air',
  'sae-j607': 'corrected to SAE J607 air',
  'din-70020': 'corrected to DIN 70020 air',
  'un-r85-ci-natural': 'corrected to UN R85 air (compression ignition)',
  'un-r85-ci-turbocharged': 'corrected to UN R85 air (compression ignition, turbocharged)',
  'iso-1585-ci-natural': 'corrected to ISO 1585 air (compression ignition)',
  'iso-1585-ci-turbocharged-air': 'corrected to ISO 1585 air (compression ignition, turbocharged, air-cooled charge)',
  'iso-1585-ci-turbocharged-liquid':
    'corrected to ISO 1585 air (compression ignition, turbocharged, liquid-cooled charge)',
}

/** A correction in words; one this version does not know by its id. */
export function correctionText(id: string): string {
  return Object.hasOwn(correctionNames, id) ? correctionNames[id as CorrectionId] : `corrected to ${id}`
}
