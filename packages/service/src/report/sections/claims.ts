/** What was claimed, and what the data say of it. Pure. */
import type { ClaimJudgement, Judgement, Result } from '@fairpull/sdk/contract'
import { type Markup, markup } from '../markup.ts'
import { rangeText, signed } from '../numbers.ts'
import { section } from '../page.ts'
import { reportWords as words } from '../words/report-words.ts'

const tones: Readonly<Record<Judgement, string>> = {
  supported: 'good',
  contradicted: 'bad',
  undecided: 'middling',
  'not-assessable': 'quiet',
}

const signs: Readonly<Record<Judgement, string>> = {
  supported: '✓',
  contradicted: '✕',
  undecided: '?',
  'not-assessable': '–',
}

/** The section. */
export function claimsSection({ claims }: Result): Markup {
  const { sections, noClaims } = words
  if (claims.length === 0) return section('claims', sections.claims, markup`<p>${noClaims}</p>`)
  return section('claims', sections.claims, markup`<ol class="plain">${claims.map(claimItem)}</ol>`)
}

function claimItem(claim: ClaimJudgement): Markup {
  const { judgement, statement, sentence, conditional } = claim
  return markup`<li class="card">
<p><strong class="${tones[judgement]}"><span aria-hidden="true">${signs[judgement]}</span> ${words.judgement[judgement]}</strong>: ${statement}</p>
<p>${sentence}</p>
${extremes(claim)}${conditional === null ? null : markup`<p class="quiet">${conditional.sentence}</p>`}
<p class="quiet small"><code>${claim.claim}</code> · ${intervalOf(claim)}</p>
</li>
`
}

function intervalOf({ interval, asMounted, unit }: ClaimJudgement): string {
  const range = rangeText(interval, unit)
  if (range !== '') return words.interval(range)
  const mounted = asMounted === null ? '' : rangeText(asMounted, unit)
  return mounted === '' ? words.noInterval : words.asMounted(mounted)
}

/** The best speed of a range says nothing about the rest of it, so both ends stand side by side. */
function extremes({ smallest, largest, unit }: ClaimJudgement): Markup | null {
  if (smallest === null || largest === null) return null
  const [low, high] = [smallest, largest].map(({ value }) => `${signed(value, 2)} ${unit}`)
  return markup`<p>${words.extremes(low ?? '', smallest.at_rpm, high ?? '', largest.at_rpm)}</p>`
}
