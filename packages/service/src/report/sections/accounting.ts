/** What became of every run. Pure. */
import type { Result } from '@fairpull/sdk/contract'
import { type Markup, markup } from '../markup.ts'
import { section } from '../page.ts'
import { reportWords as words } from '../words/report-words.ts'

/** The section. */
export function accountingSection({ accounting }: Result): Markup {
  const { recorded, used, excluded, notMeasured, unlisted, unaccounted, perSide } = accounting
  return section(
    'accounting',
    words.sections.accounting,
    markup`<p>${words.recorded(recorded, used.length, perSide.baseline, perSide.modified)}</p>
${used.length === 0 ? null : markup`<p class="quiet">${words.usedRuns(used)}</p>`}`,
    unaccounted.length === 0 ? null : markup`<p class="bad">${words.unaccounted(unaccounted)}</p>`,
    unlisted === 0 ? null : markup`<p>${words.unlisted(unlisted)}</p>`,
    leftOut(excluded),
    notForMeasuring(notMeasured),
  )
}

function leftOut(excluded: Result['accounting']['excluded']): Markup | null {
  if (excluded.length === 0) return null
  return markup`<h3>${words.excluded}</h3><ul>${excluded.map(
    ({ run, rule, reason }) => markup`<li><strong>${run}</strong> (${words.rule(rule)}): ${reason}</li>`,
  )}</ul>`
}

function notForMeasuring(runs: Result['accounting']['notMeasured']): Markup | null {
  if (runs.length === 0) return null
  return markup`<h3>${words.notMeasured}</h3><p>${runs.map(({ run, purpose }) => `${run} (${words.purpose[purpose]})`).join(', ')}</p>`
}
