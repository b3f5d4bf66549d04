/** What could account for a published difference without any part. Pure. */
import type { Result } from '@fairpull/sdk/contract'
import { type Markup, markup } from '../markup.ts'
import { section } from '../page.ts'
import { reportWords as words } from '../words/report-words.ts'

/** The section; none where every run was recorded. */
export function otherCausesSection({ otherCauses = [] }: Result): Markup | null {
  if (otherCauses.length === 0) return null
  return section(
    'causes',
    words.sections.otherCauses,
    markup`<ul>${otherCauses.map(
      ({ size_percent, sentence, basis, isEnough }) =>
        markup`<li><strong>${words.causeSize(size_percent.toFixed(1), isEnough)}</strong>: ${sentence} <span class="quiet">(${basis})</span></li>`,
    )}</ul>`,
  )
}
