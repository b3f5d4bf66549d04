/** The lower panel: the gain with its bands, the claimed levels, and where it is beyond doubt. Pure. */
import type { CurveBand, SignificantRange } from '@fairpull/sdk/contract'
import { area } from 'd3-shape'
import { type Markup, markup } from '../markup.ts'
import { chartWords } from '../words/chart-words.ts'
import { levelAxis, levelScale, PLACE_DIGITS, place, type Scale, speedAxis } from './axes.ts'
import type { Box } from './chart-layout.ts'
import type { ClaimedLevel } from './claimed-levels.ts'
import { type KeyEntry, keyRow, lineSample, tintSample } from './key.ts'
import { curvePath, type Panel } from './sides-panel.ts'

const LEVEL_TICKS = 5

/** A bar narrower than this has a sign instead of a word. [px] */
const ROOM_FOR_WORD = 44

/** A range of one point is drawn as wide as this. [px] */
const NARROWEST_BAR = 4

/** The panel. In an invalid comparison it shows a difference, and nothing is beyond doubt. */
export function gainPanel({ data, places, x }: Panel, hatch: string): Markup {
  const { curve, levels, standing } = data
  const { gain: box, sides, speedTicks, width } = places
  const { engineSpeed_rpm: speeds, gain_percent, pointwise, simultaneous } = curve
  const shown = [
    gain_percent,
    ...[pointwise, simultaneous].flatMap((band) => (band === null ? [] : [band.low, band.high])),
  ]
  const y = levelScale([0, ...shown.flat(), ...levels.flatMap((level) => level.gain_percent)], box, LEVEL_TICKS)
  const tint = (band: CurveBand | null, name: string) =>
    band === null ? null : markup`<path class="${name}" d="${bandPath(speeds, band, x, y)}"/>`
  const headAt = sides.bottom + 34
  return markup`<g>
<text class="fp-head" x="${box.left}" y="${headAt}">${(width < 500 ? chartWords.gainNarrow : chartWords.gain)(standing)}</text>
${keyRow(places, headAt + 10, keyOf(panelBands(curve)))}
${standing === 'invalid' || simultaneous === null ? null : sureBar(curve.significant, places.sure, x, hatch)}
${tint(simultaneous, 'fp-wide')}${tint(pointwise, 'fp-near')}
${levelAxis(y, box, LEVEL_TICKS)}${speedAxis({ scale: x, box, count: speedTicks, withNumbers: true })}
<line class="fp-zero" x1="${box.left}" x2="${box.right}" y1="${place(y(0))}" y2="${place(y(0))}"/>
<path class="fp-line fp-gain" d="${curvePath({ speeds, values: gain_percent, stride: 1 }, x, y)}"/>
${claimLines(levels, box, x, y)}
<text class="fp-quiet" x="${(box.left + box.right) / 2}" y="${box.bottom + 36}" text-anchor="middle">${chartWords.speed}</text>
</g>`
}

function panelBands({ pointwise, simultaneous, scope }: Panel['data']['curve']) {
  return { hasNear: pointwise !== null, hasWide: simultaneous !== null, isAsMounted: scope === 'as-mounted' }
}

function keyOf({ hasNear, hasWide, isAsMounted }: ReturnType<typeof panelBands>): readonly KeyEntry[] {
  if (!hasNear && !hasWide) return [{ sample: lineSample('fp-gain'), words: chartWords.noBand }]
  const suffix = isAsMounted ? `, ${chartWords.asMounted}` : ''
  return [
    ...(hasNear ? [{ sample: tintSample('fp-near'), words: `${chartWords.near}${suffix}` }] : []),
    ...(hasWide ? [{ sample: tintSample('fp-wide'), words: chartWords.wide }] : []),
  ]
}

function bandPath(speeds: readonly number[], { low, high }: CurveBand, x: Scale, y: Scale): string {
  const draw = area<number>()
    .x((_, i) => x(speeds[i] ?? 0))
    .y0((_, i) => y(low[i] ?? 0))
    .y1((_, i) => y(high[i] ?? 0))
    .digits(PLACE_DIGITS)
  return draw(low) ?? ''
}

/** Gain is a filled bar, loss a hatched one; both carry their word, or a sign where there is no room. */
function sureBar(
  ranges: readonly SignificantRange[],
  { left, right, top, bottom }: Box,
  x: Scale,
  hatch: string,
): Markup {
  const middle = (top + bottom) / 2
  const bars = ranges.map(({ kind, from_rpm, to_rpm }) => {
    const from = within(x(from_rpm), left, right)
    const to = within(Math.max(x(to_rpm), from + NARROWEST_BAR), left, right)
    const box = markup`x="${place(from)}" y="${top}" width="${place(to - from)}" height="${bottom - top}"`
    const word = to - from < ROOM_FOR_WORD ? (kind === 'gain' ? '+' : '\u2212') : sureWord(kind)
    const text = markup`<text class="${kind === 'gain' ? 'fp-on-bar' : 'fp-halo'}" x="${place((from + to) / 2)}" y="${middle}" dy=".35em" text-anchor="middle">${word}</text>`
    return kind === 'gain'
      ? markup`<rect class="fp-sure-gain" ${box}/>${text}`
      : markup`<rect class="fp-sure-loss" fill="url(#${hatch})" ${box}/>${text}`
  })
  const none =
    ranges.length > 0
      ? null
      : markup`<text class="fp-halo fp-quiet" x="${(left + right) / 2}" y="${middle}" dy=".35em" text-anchor="middle">${chartWords.nowhere}</text>`
  return markup`<g><text class="fp-quiet" x="${left}" y="${top - 5}">${chartWords.sure}</text><line class="fp-axis" x1="${left}" x2="${right}" y1="${middle}" y2="${middle}"/>${bars}${none}</g>`
}

function sureWord(kind: SignificantRange['kind']): string {
  return kind === 'gain' ? chartWords.sureGain : chartWords.sureLoss
}

/** Longest id that is written at a line. */
const LONGEST_ID = 18

/** Claimed levels, each over the speeds that it speaks of; every other label below its line, so that near ones stay apart. */
function claimLines(levels: readonly ClaimedLevel[], box: Box, x: Scale, y: Scale): Markup {
  const { left, right, top, bottom } = box
  return markup`<g>${levels.map(({ claim, relation, gain, speeds_rpm, gain_percent }, i) => {
    const shown = speeds_rpm.map((speed) => within(speed, x.invert(left), x.invert(right)))
    const [from, to] = [x(shown[0] ?? 0), x(shown.at(-1) ?? 0)]
    // A line that slopes has its label at its far end: the near ends of claims about one range meet.
    const isRight = from > (left + right) / 2 || gain_percent[0] !== gain_percent.at(-1)
    const at = y((isRight ? gain_percent.at(-1) : gain_percent[0]) ?? 0)
    const name = claim.length > LONGEST_ID ? `${claim.slice(0, LONGEST_ID - 1)}…` : claim
    const isBelow = (i % 2 === 1 || at - 16 < top) && at + 16 < bottom
    const shape =
      to > from
        ? markup`d="${curvePath({ speeds: shown, values: gain_percent, stride: 1 }, x, y)}"`
        : markup`d="M${place(from - 5)},${place(at)}L${place(from + 5)},${place(at)}"`
    return markup`<path class="fp-line fp-claim" ${shape}/><text class="fp-halo" ${isRight ? markup`text-anchor="end" ` : null}x="${place(isRight ? to : from)}" y="${place(at + (isBelow ? 14 : -5))}">${chartWords.claim(name, relation, gain)}</text>`
  })}</g>`
}

function within(value: number, least: number, most: number): number {
  return Math.min(most, Math.max(least, value))
}
