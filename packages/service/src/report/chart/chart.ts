/**
 * The chart of a comparison as SVG: both sides above, the gain below, one speed axis. No script, nothing from elsewhere,
 * the same bytes for the same data on every machine.
 *
 * Why it looks as it does: packages/service/docs/adr/0031-chart.md.
 */
import type { GainCurve } from '@fairpull/sdk/contract'
import { type Markup, markup, trustedMarkup } from '../markup.ts'
import { chartWords } from '../words/chart-words.ts'
import { speedScale } from './axes.ts'
import type { ChartData } from './chart-data.ts'
import { type Layout, places } from './chart-layout.ts'
import { chartStyle, type Theme } from './chart-style.ts'
import type { ChartUnit } from './chart-units.ts'
import { gainPanel } from './gain-panel.ts'
import { sidesPanel } from './sides-panel.ts'

/** How the chart is drawn. */
export interface ChartOptions {
  /** Unit of the upper panel. */
  readonly unit: ChartUnit
  readonly layout: Layout
  /** Beginning of every id in it: unlike that of any other picture on one page. Letters, digits and `-`. */
  readonly idPrefix: string
}

/** A chart that stands alone: an SVG document with its own style sheet. Pure. */
export function chartDocument(data: ChartData, options: ChartOptions & { readonly theme: Theme }): Markup {
  return chart(data, options, markup`<style>${trustedMarkup(chartStyle(options.theme))}</style>`)
}

/** A chart that is part of a page whose style sheet holds `chartStyle`. Pure. */
export function chartOfPage(data: ChartData, options: ChartOptions): Markup {
  return chart(data, options, null)
}

function chart(data: ChartData, { unit, layout, idPrefix }: ChartOptions, style: Markup | null): Markup {
  const { curve, standing } = data
  const { width, height } = places[layout]
  const shown =
    curve === null
      ? { height: 60, body: noCurve() }
      : { height, body: panels({ ...data, curve }, { unit, layout, idPrefix }) }
  return markup`<svg xmlns="http://www.w3.org/2000/svg" class="fp-chart fp-${layout}" viewBox="0 0 ${width} ${shown.height}" width="${width}" height="${shown.height}" role="img" aria-labelledby="${idPrefix}-title ${idPrefix}-desc">
<title id="${idPrefix}-title">${chartWords.title(standing)}</title><desc id="${idPrefix}-desc">${described(data)}</desc>${style}
<rect class="fp-paper" width="${width}" height="${shown.height}"/>
${shown.body}
</svg>`
}

function panels(data: ChartData & { readonly curve: GainCurve }, { unit, layout, idPrefix }: ChartOptions): Markup {
  const here = places[layout]
  const panel = { data, places: here, unit, x: speedScale(data.curve.engineSpeed_rpm, here.sides) }
  const hatch = `${idPrefix}-loss`
  return markup`<defs><pattern id="${hatch}" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect class="fp-hatched" width="6" height="6"/><line class="fp-hatch" x1="0" x2="0" y1="0" y2="6"/></pattern></defs>
${sidesPanel(panel)}
${gainPanel(panel, hatch)}`
}

function noCurve(): Markup {
  return markup`<text class="fp-head" x="12" y="24">${chartWords.noCurve}</text><text class="fp-quiet" x="12" y="44">${chartWords.whyNoCurve}</text>`
}

/** The picture in words, for those who do not see it. */
function described({ curve, standing, peaks }: ChartData): string {
  if (curve === null) return `${chartWords.noCurve} ${chartWords.whyNoCurve}`
  const { engineSpeed_rpm: speeds, gain_percent: gain, significant } = curve
  const lowAt = gain.indexOf(Math.min(...gain))
  const highAt = gain.indexOf(Math.max(...gain))
  const sure =
    standing === 'invalid'
      ? []
      : significant.length === 0
        ? [chartWords.describeNoSure]
        : significant.map(({ kind, from_rpm, to_rpm }) => chartWords.describeSure(kind, from_rpm, to_rpm))
  return [
    chartWords.describeSides(speeds[0] ?? 0, speeds.at(-1) ?? 0),
    chartWords.describeGain(gain[lowAt] ?? 0, speeds[lowAt] ?? 0, gain[highAt] ?? 0, speeds[highAt] ?? 0, standing),
    ...sure,
    ...(peaks.length === 0 ? [] : [chartWords.peaks(peaks)]),
  ].join(' ')
}
