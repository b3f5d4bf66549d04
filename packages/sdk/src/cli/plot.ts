/** The gain over engine speed, drawn in characters. Pure. */
import type { GainCurve } from '../contract/index.ts'
import type { Look } from './look.ts'
import { HARD_BLANK, padded, wrap } from './text.ts'

/** Columns of the numbers to the left of the axis. */
const LABEL_WIDTH = 8

/** Most rows of the plot. */
const MAX_ROWS = 13

/** Least step of one row: gains are not told apart more finely. [%] */
const LEAST_STEP = 0.1

/** Fewest columns between the numbers below the axis. */
const TICK_SPACING = 12

interface Ink {
  /** The curve within a row, from its upper to its lower edge. */
  readonly curve: readonly [string, ...string[]]
  readonly band: string
  readonly zero: string
  readonly axis: string
  readonly corner: string
  readonly floor: string
  readonly tick: string
  readonly gain: string
  readonly loss: string
}

const unicodeInk: Ink = {
  curve: ['⎺', '⎻', '─', '⎼', '⎽'],
  band: '░',
  zero: '╌',
  axis: '│',
  corner: '└',
  floor: '─',
  tick: '┬',
  gain: '▲',
  loss: '▼',
}
const asciiInk: Ink = {
  curve: ['o'],
  band: ':',
  zero: '-',
  axis: '|',
  corner: '+',
  floor: '-',
  tick: '+',
  gain: '^',
  loss: 'v',
}

interface Frame {
  readonly curve: GainCurve
  readonly columns: number
  readonly ink: Ink
  /** Gain that one row stands for. [%] */
  readonly step: number
  /** Highest and lowest row, as multiples of the step. */
  readonly top: number
  readonly bottom: number
}

/**
 * The gain over engine speed with its 95 % band, in at most `look.width` columns; empty for fewer than two points.
 *
 * A row stands for a round step of gain and zero is always in the picture. Below the axis, ranges with a gain or a loss
 * beyond doubt are marked.
 */
export function gainPlot(curve: GainCurve, look: Look): string[] {
  if (curve.engineSpeed_rpm.length < 2) return []
  const frame = frameOf(curve, look)
  const rows: string[] = []
  for (let row = frame.top; row >= frame.bottom; row--)
    rows.push(`${rowLabel(row, frame, look)}${drawnRow(row, frame)}`.trimEnd())
  return [...rows, ...axisBelow(frame), ...legend(frame, look)]
}

function frameOf(curve: GainCurve, look: Look): Frame {
  const lows = curve.simultaneous?.low ?? curve.gain_percent
  const highs = curve.simultaneous?.high ?? curve.gain_percent
  const low = Math.min(0, ...lows, ...curve.gain_percent)
  const high = Math.max(0, ...highs, ...curve.gain_percent)
  const step = roundStep((high - low) / (MAX_ROWS - 2))
  return {
    curve,
    columns: look.width - LABEL_WIDTH - 2,
    ink: look.isPlain ? asciiInk : unicodeInk,
    step,
    top: Math.max(1, Math.round(high / step)),
    bottom: Math.min(0, Math.round(low / step)),
  }
}

/** The smallest of 1, 2, 5 times a power of ten that is not below `least`. */
function roundStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(Math.max(least, LEAST_STEP)))
  const factor = [1, 2, 5, 10].find((each) => each * power >= Math.max(least, LEAST_STEP)) ?? 10
  return factor * power
}

function rowLabel(row: number, { step, ink }: Frame, look: Look): string {
  const value = row * step
  const sign = value > 0 ? '+' : value < 0 ? look.signs.minus : ' '
  const digits = Math.abs(value).toFixed(step < 1 ? 1 : 0)
  const label = row % 2 === 0 ? `${sign}${digits} %` : ''
  return `${label.padStart(LABEL_WIDTH)} ${ink.axis}`
}

function drawnRow(row: number, frame: Frame): string {
  const { curve, columns, ink, step } = frame
  return Array.from({ length: columns }, (_, column) => {
    const speed = speedAt(column, frame)
    const gain = valueAt(curve.gain_percent, speed, curve) / step
    if (Math.round(gain) === row) return strokeAt(gain - row, ink)
    const band = curve.simultaneous
    const isInBand =
      band !== null &&
      Math.round(valueAt(band.low, speed, curve) / step) <= row &&
      row <= Math.round(valueAt(band.high, speed, curve) / step)
    if (isInBand) return ink.band
    return row === 0 ? ink.zero : ' '
  }).join('')
}

/**
 * The stroke at a height within its row: fine enough that a smooth curve looks smooth.
 *
 * @param height above the middle of the row. [rows], -0.5 to 0.5
 */
function strokeAt(height: number, { curve }: Ink): string {
  const place = Math.floor((0.5 - height) * curve.length)
  return curve[Math.max(0, Math.min(place, curve.length - 1))] ?? curve[0]
}

function speedAt(column: number, { curve, columns }: Frame): number {
  const [first, last] = endsOf(curve)
  return first + ((last - first) * column) / (columns - 1)
}

function columnAt(speed: number, { curve, columns }: Frame): number {
  const [first, last] = endsOf(curve)
  return Math.round(((speed - first) / (last - first)) * (columns - 1))
}

function endsOf(curve: GainCurve): readonly [number, number] {
  const speeds = curve.engineSpeed_rpm
  return [speeds[0] ?? 0, speeds[speeds.length - 1] ?? 0]
}

/** Linear between the grid points. */
function valueAt(values: readonly number[], speed: number, { engineSpeed_rpm }: GainCurve): number {
  const found = engineSpeed_rpm.findIndex((each) => each >= speed)
  const right = found < 0 ? engineSpeed_rpm.length - 1 : Math.max(1, found)
  const [x0 = 0, x1 = 1] = [engineSpeed_rpm[right - 1], engineSpeed_rpm[right]]
  const [y0 = 0, y1 = 0] = [values[right - 1], values[right]]
  return y0 + ((y1 - y0) * (speed - x0)) / (x1 - x0)
}

function axisBelow(frame: Frame): string[] {
  const margin = ' '.repeat(LABEL_WIDTH + 1)
  const floor = Array.from({ length: frame.columns }, () => frame.ink.floor)
  const labels = Array.from({ length: frame.columns + LABEL_WIDTH }, () => ' ')
  for (const speed of tickSpeeds(frame)) {
    const column = columnAt(speed, frame)
    floor[column] = frame.ink.tick
    const text = String(speed)
    const at = Math.max(0, Math.min(column - Math.floor(text.length / 2), frame.columns - text.length))
    for (let i = 0; i < text.length; i++) labels[at + i] = text.charAt(i)
  }
  const marks = significance(frame)
  return [
    `${margin}${frame.ink.corner}${floor.join('')}`,
    ...(marks.trim() === '' ? [] : [`${margin} ${marks}`.trimEnd()]),
    `${padded('rpm'.padStart(LABEL_WIDTH), LABEL_WIDTH + 2)}${labels.join('')}`.trimEnd(),
  ]
}

function tickSpeeds(frame: Frame): number[] {
  const [first, last] = endsOf(frame.curve)
  const least = ((last - first) * TICK_SPACING) / frame.columns
  const step = [100, 200, 500, 1000, 2000, 5000].find((each) => each >= least) ?? 10_000
  const speeds: number[] = []
  for (let speed = Math.ceil(first / step) * step; speed <= last; speed += step) speeds.push(speed)
  return speeds
}

function significance(frame: Frame): string {
  return Array.from({ length: frame.columns }, (_, column) => {
    const speed = speedAt(column, frame)
    const range = frame.curve.significant.find(({ from_rpm, to_rpm }) => from_rpm <= speed && speed <= to_rpm)
    return range === undefined ? ' ' : frame.ink[range.kind]
  }).join('')
}

function legend({ curve, ink }: Frame, look: Look): string[] {
  const kinds = new Set(curve.significant.map(({ kind }) => kind))
  const whose = curve.scope === 'as-mounted' ? ', for these mountings only' : ''
  const parts = [
    `${ink.curve[Math.floor(ink.curve.length / 2)]} gain`,
    curve.simultaneous === null
      ? 'no band: these runs alone give none'
      : `${ink.band} 95 % band of the whole curve${whose}`,
    ...(kinds.has('gain') ? [`${ink.gain} clear gain`] : []),
    ...(kinds.has('loss') ? [`${ink.loss} clear loss`] : []),
  ]
  const lines = wrap(
    parts.map((part) => part.replaceAll(' ', HARD_BLANK)).join(`${HARD_BLANK}${HARD_BLANK} `),
    look.width,
    ' '.repeat(LABEL_WIDTH + 2),
  )
  return lines.map((line) => look.tint('quiet', line.replaceAll(HARD_BLANK, ' ')))
}
