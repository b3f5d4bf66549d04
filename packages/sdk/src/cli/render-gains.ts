/** The gain and its uncertainty as a person reads them. Pure. */
import type { Alternative, BudgetTerm, ConditionalInterval, Flag, Gain, Result } from '../contract/index.ts'
import type { Look } from './look.ts'
import type { Page } from './page.ts'
import { correctionText, intervalText, rangeText, signed, subjectText } from './quantity-text.ts'

/** Shares of the variance below this are not worth a word. [%] */
const SMALL_SHARE = 5

const places: Readonly<Record<Result['gains']['measuredAt'], string>> = {
  wheel: 'Power at the wheel',
  'crankshaft-estimated': 'Power at the crankshaft, estimated',
  'not-recorded': 'Power at the wheel or at the crankshaft, not recorded which',
}

/** Adds the gains, the headline first; in an invalid comparison they are called differences. */
export function sayGains(page: Page, result: Result, full: boolean): void {
  const { gains, standing } = result
  const [headline, ...others] = gains.corrected
  if (headline === undefined) return
  const name =
    standing === 'invalid'
      ? 'Difference between the sides (not a gain: they cannot be compared)'
      : 'Gain, modified minus baseline'
  page.section(name)
  sayGain(page, headline, true)
  for (const gain of others) sayGain(page, gain, full)
  const basis = `${places[gains.measuredAt]}, ${correctionText(gains.correction)}`
  page.say(`${basis}${uncorrectedText(gains.uncorrected, page.look)}.`, { first: '  ', tint: 'quiet' })
  const main = budgetText(result.budget)
  if (main !== '') page.say(main, { first: '  ', tint: 'quiet' })
  sayFlags(page, result.flags ?? [])
  sayAlternatives(page, result.alternatives)
}

function sayFlags(page: Page, flags: readonly Flag[]): void {
  for (const { sentence } of flags) page.say(sentence, { first: `  ${page.look.signs.middling} ` })
}

/** What another choice of runs does to the headline gain, a line each. */
function sayAlternatives(page: Page, alternatives: readonly Alternative[]): void {
  if (alternatives.length === 0) return
  page.section('The same gain with other runs')
  for (const { sentence, relative } of alternatives) {
    page.say(`${intervalText(relative, '%', page.look)}: ${sentence}`, { first: `  ${page.look.signs.bullet} ` })
  }
}

function sayGain(page: Page, gain: Gain, withDetail: boolean): void {
  const { look } = page
  page.say(`${subjectText(gain.of)}: ${intervalText(gain.relative, '%', look)}`, { first: '  ' })
  const levels = levelsText(gain, look)
  if (levels !== '') page.say(levels, { first: '    ' })
  if (!withDetail) return
  if (gain.relative.twoDriftModels) {
    page.say('Two ways the drift may have gone were reckoned; the interval holds for both.', { first: '    ' })
  }
  if (gain.relative.low === null && gain.asMounted !== null) {
    page.say(`For these mountings only: ${rangeText(gain.asMounted, '%', look)}.`, { first: '    ' })
  }
  if (gain.conditional !== null) page.say(conditionalText(gain.conditional, look), { first: '    ' })
}

function levelsText({ baseline, modified, absolute, unit }: Gain, look: Look): string {
  if (baseline === null || modified === null) return ''
  const difference = absolute.estimate === null ? '' : `, ${signed(absolute.estimate, 2, look)} ${unit}`
  return `from ${baseline.toFixed(2)} to ${modified.toFixed(2)} ${unit}${difference}`
}

const assumedFrom: Readonly<Record<ConditionalInterval['on'], string>> = {
  typical: 'If this rig repeated like an ordinary one, which nobody measured',
  cautious: 'If this rig repeated like one of which nothing is known',
  network: 'If this rig repeated like other rigs on record',
}

function conditionalText({ on, relative }: ConditionalInterval, look: Look): string {
  const range = rangeText(relative, '%', look)
  return range === '' ? '' : `${assumedFrom[on]}: ${range}.`
}

function uncorrectedText(uncorrected: readonly Gain[], look: Look): string {
  const [headline] = uncorrected
  if (headline === undefined || headline.relative.estimate === null) return ''
  return `; uncorrected ${signed(headline.relative.estimate, 2, look)} %`
}

const termWords: Readonly<Record<BudgetTerm['term'], string>> = {
  repeatability: 'run-to-run scatter',
  drift: 'drift',
  'warm-up': 'warm-up',
  ambient: 'the air correction',
  day: 'day-to-day scatter',
  mounting: 'strapping down again',
}

function budgetText(budget: readonly BudgetTerm[]): string {
  const main = budget.filter(({ share }) => share >= SMALL_SHARE).toSorted((a, b) => b.share - a.share)
  if (main.length === 0) return ''
  const parts = main.map(({ term, share, status }) => {
    const basis = status === 'these-runs' || status === 'measured' ? '' : `, ${status}`
    return `${termWords[term]} (${Math.round(share)} %${basis})`
  })
  return `What makes the interval as wide as it is: ${parts.join(', ')}.`
}
