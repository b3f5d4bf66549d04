/** Values a channel can have in a unit: what a range of numbers alone gives away. Pure. */
import type { ChannelName } from './column-mapping.ts'

/** Bounds of the highest value of a column. */
export interface PlausibleRange {
  readonly unit: string
  /** Least highest value. */
  readonly from: number
  /** Most highest value. */
  readonly to: number
}

/**
 * Highest values of a full-throttle sweep of a road vehicle on rollers, by channel and unit.
 *
 * Assumed, no source: wide enough for a scooter and a racing car, so that a value outside points to another unit.
 */
const plausible: Readonly<Record<ChannelName, readonly PlausibleRange[]>> = {
  time: [
    { unit: 's', from: 1, to: 120 },
    { unit: 'ms', from: 1000, to: 120_000 },
  ],
  engineSpeed: [
    { unit: 'rpm', from: 2700, to: 25_000 },
    { unit: 'rad/s', from: 200, to: 2600 },
  ],
  wheelPower: [
    { unit: 'W', from: 2000, to: 1_500_000 },
    { unit: 'kW', from: 2, to: 1500 },
    { unit: 'hp', from: 2, to: 2000 },
    { unit: 'PS', from: 2, to: 2000 },
  ],
  torque: [
    { unit: 'N m', from: 3, to: 2000 },
    { unit: 'lbf ft', from: 2, to: 1500 },
    { unit: 'kgf m', from: 0.3, to: 200 },
  ],
  axleTorque: [
    { unit: 'N m', from: 20, to: 20_000 },
    { unit: 'lbf ft', from: 15, to: 15_000 },
    { unit: 'kgf m', from: 2, to: 2000 },
  ],
  rollerSpeed: [
    { unit: 'm/s', from: 10, to: 120 },
    { unit: 'km/h', from: 40, to: 430 },
    { unit: 'mph', from: 25, to: 270 },
  ],
  mixture: [{ unit: '1', from: 0.7, to: 25 }],
  throttle: [
    { unit: '1', from: 0.5, to: 1.05 },
    { unit: '%', from: 50, to: 105 },
  ],
}

/** Units in which a column with this highest value can be the channel. */
export function plausibleUnits(channel: ChannelName, highest: number): readonly string[] {
  return plausible[channel].filter(({ from, to }) => from <= highest && highest <= to).map(({ unit }) => unit)
}

/** Whether the highest value of a column can be the channel in a unit. */
export function isPlausible(channel: ChannelName, unit: string, highest: number): boolean {
  return plausibleUnits(channel, highest).includes(unit)
}

/** Highest value of a lambda; an air-fuel ratio lies above. Assumed, no source. [1] */
export const HIGHEST_LAMBDA = 2
