/** The answer first: standing, verdict and limits of scope. Pure. */
import type { Result, Standing } from '@fairpull/sdk/contract'
import { type Markup, markup } from '../markup.ts'
import { section } from '../page.ts'
import type { ReportSource } from '../report-source.ts'
import { reportWords as words } from '../words/report-words.ts'

/** Signs beside the words, for those who read at a glance. */
export const standingSigns: Readonly<Record<Standing, string>> = { valid: '✓', limited: '◐', invalid: '✕' }

const tones: Readonly<Record<Standing, string>> = { valid: 'good', limited: 'middling', invalid: 'bad' }

/** The head of the report. */
export function headSection({ payload: { issue, result }, status }: ReportSource): Markup {
  const { standing, verdict, scope, score, attribution } = result
  return markup`<header>
<p class="quiet small">${words.heading}</p>
<h1>${result.attribution.underTest.length > 0 ? result.attribution.underTest.join(', ') : words.title(issue.id)}</h1>
${publicationNote(status)}
<p class="standing ${tones[standing]}"><span aria-hidden="true">${standingSigns[standing]}</span> ${words.standing[standing]}</p>
<p class="verdict">${verdict}</p>
${limits(scope)}
${attribution.sentence === '' ? null : markup`<p>${attribution.sentence}</p>`}
<p class="quiet small">${words.scoreLine(words.score(score), result.protocol.id, words.registrationWord[issue.registration])}</p>
</header>
`
}

/** Limits that stand in the head; what is more stands in a section of its own. */
const LIMITS_IN_HEAD = 5

function limits(scope: readonly string[]): Markup | null {
  if (scope.length === 0) return null
  const shown = scope.slice(0, LIMITS_IN_HEAD)
  const more = scope.length - shown.length
  return markup`<ul>${shown.map((sentence) => markup`<li>${sentence}</li>`)}${
    more === 0 ? null : markup`<li><a href="#scope">${words.moreLimits(more)}</a></li>`
  }</ul>`
}

/** All limits, where the head does not hold them all. */
export function scopeSection({ scope }: Result): Markup | null {
  if (scope.length <= LIMITS_IN_HEAD) return null
  return section(
    'scope',
    words.sections.scope,
    markup`<ul>${scope.map((sentence) => markup`<li>${sentence}</li>`)}</ul>`,
  )
}

function publicationNote(status: ReportSource['status']): Markup | null {
  if (status === 'withdrawn') {
    return markup`<p class="withdrawn bad"><strong>${words.withdrawn}.</strong> ${words.withdrawnSentence}</p>`
  }
  return status === 'private' ? markup`<p class="quiet small">${words.privateSentence}</p>` : null
}
