/** What is claimed for a change. */
import type { Quantity, UnitOf } from './units.ts'

/** One statement about the gain, modified minus baseline. */
export interface Claim {
  /** Identity within this document. */
  readonly id: string
  /** What is claimed. */
  readonly quantity: 'wheel-power' | 'wheel-torque'
  /** Over which engine speeds. */
  readonly over: ClaimRange
  /** How the gain compares with the claimed value. */
  readonly relation: 'at-least' | 'at-most' | 'equals-within'
  /** The claimed value: relative in %, or absolute in the unit of the quantity. A loss is negative. */
  readonly gain: GainValue
  /** Half-width for `equals-within`, in the unit of the gain. */
  readonly tolerance?: GainValue
}

/** Over which engine speeds a claim speaks. `anywhere` is the trade's "up to". */
export type ClaimRange = PeakRange | AtSpeedRange | BandRange

/** The highest value of the curve. */
export interface PeakRange {
  /** The peak of each side's curve. */
  readonly kind: 'peak'
}

/** One engine speed. */
export interface AtSpeedRange {
  /** At one engine speed. */
  readonly kind: 'at-speed'
  /** The engine speed. [rotationalSpeed] */
  readonly speed: Quantity<'rotationalSpeed'>
}

/** A range of engine speeds. */
export interface BandRange {
  /** The mean over the range; every speed in it; no loss at any speed beyond the margin; or the best speed in it. */
  readonly kind: 'band-mean' | 'everywhere' | 'no-loss' | 'anywhere'
  /** Lower end. [rotationalSpeed] */
  readonly from: Quantity<'rotationalSpeed'>
  /** Upper end. [rotationalSpeed] */
  readonly to: Quantity<'rotationalSpeed'>
}

/** A gain with its unit. */
export interface GainValue {
  /** Modified minus baseline. */
  readonly value: number
  /** `%` for a relative gain, else a unit of power or torque. */
  readonly unit: '%' | UnitOf<'power'> | UnitOf<'torque'>
}
