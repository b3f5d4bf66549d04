/** What the lines and tints mean, in a row above a panel, or one below another in the narrow picture. Pure. */
import { type Markup, markup } from '../markup.ts'
import type { Places } from './chart-layout.ts'

/** One entry. */
export interface KeyEntry {
  /** Drawn 26 wide and 12 high, from its upper left corner. */
  readonly sample: Markup
  readonly words: string
}

const SAMPLE_WIDTH = 26
const GAP = 8
const ROW = 18

/** Width that a text of this size is given; generous, since the reader's font is not known. [px per character] */
const PER_CHARACTER = 6.9

/** A sample of a line. */
export function lineSample(className: string): Markup {
  return markup`<line class="fp-line ${className}" x1="0" x2="${SAMPLE_WIDTH}" y1="6" y2="6"/>`
}

/** A sample of a tint. */
export function tintSample(className: string): Markup {
  return markup`<rect class="${className}" width="${SAMPLE_WIDTH}" height="12"/>`
}

/** Entries side by side from the left edge of the panels; the next row where one does not fit. */
export function keyRow({ sides: { left, right } }: Places, top: number, entries: readonly KeyEntry[]): Markup {
  const at = { x: left, y: top }
  return markup`<g>${entries.map(({ sample, words }) => {
    const width = SAMPLE_WIDTH + GAP + words.length * PER_CHARACTER
    if (at.x > left && at.x + width > right) Object.assign(at, { x: left, y: at.y + ROW })
    const entry = markup`<g transform="translate(${at.x} ${at.y})">${sample}<text class="fp-quiet" x="${SAMPLE_WIDTH + GAP - 2}" y="10">${words}</text></g>`
    at.x = Math.round(at.x + width + GAP)
    return entry
  })}</g>`
}
