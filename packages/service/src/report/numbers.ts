/** Numbers as they are printed: the same text on every machine and in every locale setting. Pure. */
import type { Interval } from '@fairpull/sdk/contract'

const MINUS = '\u2212'

/** A number with so many decimals, a real minus sign, and a comma after every third digit from 1,000 on. */
export function printed(value: number, decimals: number): string {
  const [whole = '', fraction] = Math.abs(value).toFixed(decimals).split('.')
  const grouped = whole.replaceAll(/\B(?=(\d{3})+$)/g, ',')
  const text = fraction === undefined ? grouped : `${grouped}.${fraction}`
  return value < 0 && Number(`${whole}.${fraction ?? 0}`) !== 0 ? `${MINUS}${text}` : text
}

/** A number that always shows its sign, but for a printed zero. */
export function signed(value: number, decimals: number): string {
  const text = printed(value, decimals)
  return value > 0 && Number(value.toFixed(decimals)) !== 0 ? `+${text}` : text
}

/** Decimals that the width of the interval supports: one where it is 2 wide or wider, else two. */
export function decimalsOf({ low, high }: Interval): number {
  return low !== null && high !== null && high - low >= 2 ? 1 : 2
}

/** `+2.0 to +3.3 %`; empty where there is no interval. */
export function rangeText(interval: Interval, unit: string): string {
  const { low, high } = interval
  if (low === null || high === null) return ''
  const decimals = decimalsOf(interval)
  return `${signed(low, decimals)} to ${signed(high, decimals)} ${unit}`
}

/** An engine speed. */
export function rpm(value: number): string {
  return `${printed(Math.round(value), 0)} rpm`
}

/** So many significant digits, without trailing zeros of the fraction. */
export function significant(value: number, digits: number): string {
  if (value === 0 || !Number.isFinite(value)) return '0'
  const decimals = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(value))))
  return printed(value, Math.min(decimals, 8))
}
