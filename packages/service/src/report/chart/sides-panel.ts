/** The upper panel: the mean curves of both sides, every run faint behind. Pure. */
import type { GainCurve } from '@fairpull/sdk/contract'
import { line } from 'd3-shape'
import { type Markup, markup } from '../markup.ts'
import { chartWords } from '../words/chart-words.ts'
import { extent, levelAxis, levelScale, PLACE_DIGITS, type Scale, speedAxis } from './axes.ts'
import type { ChartData } from './chart-data.ts'
import type { Places } from './chart-layout.ts'
import { type ChartUnit, inUnit, quantityOf } from './chart-units.ts'
import { keyRow, lineSample } from './key.ts'

const LEVEL_TICKS = 5

/** Single runs are drawn at every other point of the grid: their smoothing is four times as wide. */
const RUN_STRIDE = 2

/** What a panel is drawn from. */
export interface Panel {
  readonly data: ChartData & { readonly curve: GainCurve }
  readonly places: Places
  /** Engine speed to place, the same in both panels. */
  readonly x: Scale
  readonly unit: ChartUnit
}

/** The panel. */
export function sidesPanel({ data: { curve, runs }, places, x, unit }: Panel): Markup {
  const { sides: box, speedTicks } = places
  const speeds = curve.engineSpeed_rpm
  const levels = (power_kW: readonly number[]) => power_kW.map((power, i) => inUnit(power, speeds[i] ?? 0, unit))
  const [baseline, modified] = [levels(curve.baseline_kW), levels(curve.modified_kW)]
  const single = runs.map(({ power_kW }) => levels(power_kW))
  const y = levelScale([baseline, modified, ...single].flatMap(extent), box, LEVEL_TICKS)
  const path = (values: readonly number[], stride: number) => curvePath({ speeds, values, stride }, x, y)
  return markup`<g>
<text class="fp-head" x="${box.left}" y="14">${chartWords.sides(quantityOf(unit), unit)}</text>
${keyRow(places, 26, [
  { sample: lineSample('fp-baseline'), words: chartWords.baseline },
  { sample: lineSample('fp-modified'), words: chartWords.modified },
  ...(runs.length === 0 ? [] : [{ sample: lineSample('fp-run'), words: chartWords.runs(runs.length) }]),
])}
${levelAxis(y, box, LEVEL_TICKS)}${speedAxis({ scale: x, box, count: speedTicks, withNumbers: false })}
${single.map((values) => markup`<path class="fp-line fp-run" d="${path(values, RUN_STRIDE)}"/>`)}
<path class="fp-line fp-baseline" d="${path(baseline, 1)}"/>
<path class="fp-line fp-modified" d="${path(modified, 1)}"/>
</g>`
}

/** Values over engine speed; every `stride`-th is drawn. */
interface Values {
  readonly speeds: readonly number[]
  readonly values: readonly number[]
  readonly stride: number
}

/** The path of a curve. */
export function curvePath({ speeds, values, stride }: Values, x: Scale, y: Scale): string {
  const points = values.flatMap((value, i) => (i % stride === 0 ? [[speeds[i] ?? 0, value] as const] : []))
  const draw = line<readonly [number, number]>()
    .x(([speed]) => x(speed))
    .y(([, value]) => y(value))
    .digits(PLACE_DIGITS)
  return draw(points) ?? ''
}
