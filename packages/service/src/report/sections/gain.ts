/** The gain with its interval, the headline large, all others in a table. Pure. */
import type { Alternative, Gain, Result } from '@fairpull/sdk/contract'
import { type Markup, markup } from '../markup.ts'
import { decimalsOf, printed, rangeText, signed } from '../numbers.ts'
import { section } from '../page.ts'
import { correctionText, reportWords as words } from '../words/report-words.ts'

/** The section; in an invalid comparison what it shows is called a difference. */
export function gainSection({ gains, standing, alternatives, flags = [] }: Result): Markup | null {
  const [headline] = gains.corrected
  if (headline === undefined) return null
  const isInvalid = standing === 'invalid'
  return section(
    'gain',
    isInvalid ? words.sections.difference : words.sections.gain,
    isInvalid ? markup`<p class="bad">${words.notAGain}</p>` : null,
    headlineFigure(headline, isInvalid),
    gains.corrected.length > 1 ? gainTable(gains.corrected, isInvalid) : null,
    markup`<p class="quiet small">${basisText(gains)}</p>`,
    flags.length === 0 ? null : markup`<ul>${flags.map(({ sentence }) => markup`<li>${sentence}</li>`)}</ul>`,
    alternativesOf(alternatives),
  )
}

/** What another choice of runs does to the headline gain. */
function alternativesOf(alternatives: readonly Alternative[]): Markup | null {
  if (alternatives.length === 0) return null
  return markup`<h3>${words.alternatives}</h3><ul>${alternatives.map(
    ({ sentence, relative }) => markup`<li>${alternativeText(relative)}: ${sentence}</li>`,
  )}</ul>`
}

function alternativeText(relative: Alternative['relative']): string {
  if (relative.estimate === null) return words.noEstimate
  const range = rangeText(relative, '%')
  return `${signed(relative.estimate, decimalsOf(relative))} %, ${range === '' ? words.noInterval : words.interval(range)}`
}

function headlineFigure(gain: Gain, isInvalid: boolean): Markup {
  const { relative } = gain
  const range = rangeText(relative, '%')
  const estimate =
    relative.estimate === null ? words.noEstimate : `${signed(relative.estimate, decimalsOf(relative))} %`
  return markup`<p class="figure${isInvalid ? ' struck' : ''}"><strong>${estimate}</strong> <span>${range === '' ? words.noInterval : words.interval(range)}</span></p>
<p>${words.subject(gain.of)}${levelsOf(gain)}</p>
${notesOf(gain).map((note) => markup`<p>${note}</p>`)}`
}

function levelsOf({ baseline, modified, absolute, unit }: Gain): string {
  if (baseline === null || modified === null) return ''
  const difference = absolute.estimate === null ? '' : signed(absolute.estimate, 2)
  return `, ${words.levels(printed(baseline, 2), printed(modified, 2), difference, unit)}`
}

function notesOf({ relative, asMounted, conditional }: Gain): readonly string[] {
  const mounted = relative.low === null && asMounted !== null ? rangeText(asMounted, '%') : ''
  const assumed = conditional === null ? '' : rangeText(conditional.relative, '%')
  return [
    ...(relative.twoDriftModels ? [words.twoDriftModels] : []),
    ...(mounted === '' ? [] : [words.asMounted(mounted)]),
    ...(assumed === '' || conditional === null ? [] : [`${words.assumed[conditional.on]}: ${assumed}.`]),
  ]
}

function gainTable(gains: readonly Gain[], isInvalid: boolean): Markup {
  const { columns } = words
  return markup`<div class="scroll" tabindex="0" role="region" aria-label="${words.sections.gain}"><table>
<thead><tr><th scope="col">${columns.quantity}</th><th scope="col" class="number">${isInvalid ? columns.difference : columns.gain}</th><th scope="col" class="number">${columns.interval}</th><th scope="col" class="number">${columns.baseline}</th><th scope="col" class="number">${columns.modified}</th></tr></thead>
<tbody>${gains.map(
    (gain) =>
      markup`<tr><th scope="row">${words.subject(gain.of)}</th><td class="number">${gain.relative.estimate === null ? words.noEstimate : `${signed(gain.relative.estimate, decimalsOf(gain.relative))} %`}</td><td class="number">${rangeText(gain.relative, '%') || words.noInterval}</td><td class="number">${level(gain.baseline, gain.unit)}</td><td class="number">${level(gain.modified, gain.unit)}</td></tr>
`,
  )}</tbody></table></div>`
}

function level(value: number | null, unit: string): string {
  return value === null ? '–' : `${printed(value, 2)} ${unit}`
}

function basisText({ measuredAt, correction, uncorrected }: Result['gains']): string {
  const [headline] = uncorrected
  const plain =
    headline === undefined || headline.relative.estimate === null
      ? ''
      : `; ${words.uncorrected(`${signed(headline.relative.estimate, 2)} %`)}`
  return `${words.place[measuredAt]}, ${correctionText(correction)}${plain}.`
}
