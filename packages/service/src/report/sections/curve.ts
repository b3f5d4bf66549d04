/** The chart in every unit, switched without a script, and the figures behind it as a table. Pure. */
import type { CurveBand, GainCurve } from '@fairpull/sdk/contract'
import { chartOfPage } from '../chart/chart.ts'
import type { ChartData } from '../chart/chart-data.ts'
import type { Layout } from '../chart/chart-layout.ts'
import { type ChartUnit, chartUnits, inUnit, unitSlug } from '../chart/chart-units.ts'
import { type Markup, markup } from '../markup.ts'
import { printed, signed } from '../numbers.ts'
import { section } from '../page.ts'
import { chartWords } from '../words/chart-words.ts'
import { reportWords as words } from '../words/report-words.ts'

const layouts: readonly Layout[] = ['wide', 'narrow']

/** About how many rows the table has. */
const ROWS = 24

/**
 * The chart. A radio button per unit stands before all pictures; the style sheet shows the picture of the one that is
 * chosen, in the layout that the page has room for.
 */
export function curveSection(data: ChartData): Markup | null {
  if (data.curve === null) return null
  return section(
    'curve',
    words.sections.curve,
    markup`<div class="charts"><fieldset><legend class="quiet small">${words.unitSwitch}</legend>${chartUnits.map(
      (unit, i) =>
        markup`<label><input type="radio" name="unit" id="unit-${unitSlug(unit)}"${i === 0 ? markup` checked` : null}> ${unit}</label> `,
    )}</fieldset>
${chartUnits.flatMap((unit) => layouts.map((layout) => figure(data, unit, layout)))}</div>
${data.peaks.length === 0 ? null : markup`<p class="quiet small">${chartWords.peaks(data.peaks)}</p>`}`,
  )
}

function figure(data: ChartData, unit: ChartUnit, layout: Layout): Markup {
  const slug = unitSlug(unit)
  return markup`<figure class="chart-${slug} ${layout}">${chartOfPage(data, { unit, layout, idPrefix: `${layout}-${slug}` })}</figure>
`
}

/** Rules that show one picture of all: of the unit that is chosen, in the layout that there is room for. */
export function unitSwitchStyle(): string {
  const shown = (layout: Layout) =>
    chartUnits
      .map(unitSlug)
      .map((slug) => `.charts:has(#unit-${slug}:checked) .chart-${slug}.${layout}{display:block}`)
      .join('')
  return `.charts figure{display:none}@media print,(min-width:46.01rem){${shown('wide')}}@media screen and (max-width:46rem){${shown('narrow')}}`
}

/** The figures behind the chart. */
export function figuresSection({ curve, standing }: ChartData): Markup | null {
  if (curve === null) return null
  const { columns, sections } = words
  const shown = rowsOf(curve.engineSpeed_rpm)
  const gain = standing === 'invalid' ? columns.difference : columns.gain
  return section(
    'figures',
    sections.figures,
    markup`<p class="quiet">${words.figuresCaption}</p>
<div class="scroll" tabindex="0" role="region" aria-label="${sections.figures}"><table class="figures">
<thead><tr><th scope="col" class="number">${columns.speed}, rpm</th>${chartUnits.map((unit) => markup`<th scope="col" class="number">${columns.baseline}, ${unit}</th><th scope="col" class="number">${columns.modified}, ${unit}</th>`)}<th scope="col" class="number">${gain}, %</th><th scope="col" class="number">${columns.pointwise}</th><th scope="col" class="number">${columns.simultaneous}</th></tr></thead>
<tbody>${shown.map((i) => row(curve, i))}</tbody></table></div>`,
  )
}

function row(curve: GainCurve, i: number): Markup {
  const speed = curve.engineSpeed_rpm[i] ?? 0
  const levels = chartUnits.flatMap((unit) =>
    [curve.baseline_kW[i] ?? 0, curve.modified_kW[i] ?? 0].map(
      (power) => markup`<td class="number">${printed(inUnit(power, speed, unit), 1)}</td>`,
    ),
  )
  return markup`<tr><th scope="row" class="number">${printed(speed, 0)}</th>${levels}<td class="number">${signed(curve.gain_percent[i] ?? 0, 2)}</td><td class="number">${bandAt(curve.pointwise, i)}</td><td class="number">${bandAt(curve.simultaneous, i)}</td></tr>
`
}

function bandAt(band: CurveBand | null, i: number): string {
  return band === null ? '–' : `${signed(band.low[i] ?? 0, 2)} to ${signed(band.high[i] ?? 0, 2)}`
}

/** Rows are so many points of the grid apart: on the grid of 50 rpm every 50, 100, 250, 500, 1,000 rpm. */
const STEPS = [1, 2, 5, 10, 20, 50, 100]

/** Indices of the rows: both ends, and round engine speeds between them. */
function rowsOf(speeds: readonly number[]): readonly number[] {
  const spacing_rpm = (speeds[1] ?? 0) - (speeds[0] ?? 0) || 1
  const step = STEPS.find((each) => speeds.length / each <= ROWS) ?? Math.ceil(speeds.length / ROWS)
  return speeds.flatMap((speed, i) =>
    i === 0 || i === speeds.length - 1 || speed % (step * spacing_rpm) === 0 ? [i] : [],
  )
}
