import type { Claim } from '../../contract/claim.ts'
import type { Quantity } from '../../contract/units.ts'
import { convert } from '../physics/units.ts'
import type { FigureSubject } from '../statistics/figure.ts'

/** An engine speed in rpm; rpm stays rpm, bit for bit. [rpm] */
export function rpmOf({ value, unit }: Quantity<'rotationalSpeed'>): number {
  return unit === 'rpm' ? value : convert(value, unit, 'rpm')
}

/** The quantity that a claim speaks of. */
export function quantityOf({ quantity }: Pick<Claim, 'quantity'>): FigureSubject['quantity'] {
  return quantity === 'wheel-power' ? 'power' : 'torque'
}

/** The figure that a claim speaks of; null for claims about every or the best speed of a range. */
export function subjectOf({ quantity, over }: Pick<Claim, 'quantity' | 'over'>): FigureSubject | null {
  const of = quantityOf({ quantity })
  if (over.kind === 'peak') return { kind: 'peak', quantity: of }
  if (over.kind === 'at-speed') return { kind: 'at-speed', quantity: of, at_rpm: rpmOf(over.speed) }
  if (over.kind !== 'band-mean') return null
  return { kind: 'band-mean', quantity: of, from_rpm: rpmOf(over.from), to_rpm: rpmOf(over.to) }
}

/** A figure in words, for example `mean power from 3,500 to 5,500 rpm`. */
export function subjectName(subject: FigureSubject): string {
  if (subject.kind === 'peak') return `peak ${subject.quantity}`
  if (subject.kind === 'at-speed') return `${subject.quantity} at ${wholeNumber(subject.at_rpm)} rpm`
  return `mean ${subject.quantity} from ${wholeNumber(subject.from_rpm)} to ${wholeNumber(subject.to_rpm)} rpm`
}

/** A whole number with thousands marked: 9,000. Spelled out here, since what a runtime's locale does may differ. */
export function wholeNumber(value: number): string {
  return String(Math.round(value)).replace(/\B(?=(\d{3})+$)/g, ',')
}
