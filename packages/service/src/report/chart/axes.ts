/** Scales and axes of the panels. Pure. */
import { type ScaleLinear, scaleLinear } from 'd3-scale'
import { type Markup, markup } from '../markup.ts'
import { printed } from '../numbers.ts'
import type { Box } from './chart-layout.ts'

/** A linear scale from values to places. */
export type Scale = ScaleLinear<number, number>

/** Places are written to a tenth of a pixel: the same text on every machine. */
export const PLACE_DIGITS = 1

/** A place as it is written. [px] */
export function place(value: number): string {
  return String(Number(value.toFixed(PLACE_DIGITS)))
}

/** Smallest and largest of the finite values; 0 and 1 where there are none. */
export function extent(values: readonly number[]): readonly [number, number] {
  const finite = values.filter(Number.isFinite)
  const [low, high] = [Math.min(...finite), Math.max(...finite)]
  return finite.length === 0 ? [0, 1] : low === high ? [low - 1, high + 1] : [low, high]
}

/** Engine speed from left to right. */
export function speedScale(engineSpeed_rpm: readonly number[], { left, right }: Box): Scale {
  return scaleLinear([...extent(engineSpeed_rpm)], [left, right])
}

/** Values from bottom to top, the ends on round numbers. */
export function levelScale(values: readonly number[], { top, bottom }: Box, count: number): Scale {
  return scaleLinear([...extent(values)], [bottom, top]).nice(count)
}

/** Lines and numbers of a level axis. */
export function levelAxis(scale: Scale, { left, right }: Box, count: number): Markup {
  const ticks = scale.ticks(count)
  const decimals = decimalsOf(ticks)
  return markup`<g>${ticks.map((tick) => {
    const y = place(scale(tick))
    return markup`<line class="fp-grid" x1="${left}" x2="${right}" y1="${y}" y2="${y}"/><text class="fp-quiet" x="${left - 6}" y="${y}" dy=".35em" text-anchor="end">${printed(tick, decimals)}</text>`
  })}</g>`
}

/** Where the speed axis goes. */
interface SpeedAxis {
  readonly scale: Scale
  readonly box: Box
  /** About how many marks. */
  readonly count: number
  readonly withNumbers: boolean
}

/** Marks, and where asked for numbers, of the speed axis along the bottom of a panel. */
export function speedAxis({ scale, box: { left, right, top, bottom }, count, withNumbers }: SpeedAxis): Markup {
  const marks = scale.ticks(count).map((tick) => {
    const x = place(scale(tick))
    const number = withNumbers
      ? markup`<text class="fp-quiet" x="${x}" y="${bottom + 17}" text-anchor="middle">${printed(tick, 0)}</text>`
      : null
    return markup`<line class="fp-grid" x1="${x}" x2="${x}" y1="${top}" y2="${bottom}"/>${number}`
  })
  return markup`<g>${marks}<line class="fp-axis" x1="${left}" x2="${right}" y1="${bottom}" y2="${bottom}"/></g>`
}

function decimalsOf([first = 0, second = first + 1]: readonly number[]): number {
  const step = Math.abs(second - first)
  return step >= 1 ? 0 : step >= 0.1 ? 1 : 2
}
