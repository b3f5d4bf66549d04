/** The sections that are mostly lists: next steps, identity, cautions, limits, how to check. Pure. */
import type { Result } from '@fairpull/sdk/contract'
import { type Markup, markup } from '../markup.ts'
import { facts, section } from '../page.ts'
import { inline } from '../prose.ts'
import type { ReportSource } from '../report-source.ts'
import { reportWords as words } from '../words/report-words.ts'

/** What to do next, the cheapest first. */
export function nextStepsSection({ nextSteps }: Result): Markup {
  const { sections, noNextSteps, cost, settles } = words
  if (nextSteps.length === 0) return section('next', sections.nextSteps, markup`<p>${noNextSteps}</p>`)
  return section(
    'next',
    sections.nextSteps,
    markup`<ol>${nextSteps.map(
      (step) =>
        markup`<li><strong>${cost[step.cost]}:</strong> ${step.sentence}${step.settles.length === 0 ? null : markup` <span class="quiet">(${settles(step.settles)})</span>`}</li>`,
    )}</ol>`,
  )
}

/** Identity, method and versions. */
export function methodSection({ payload: { issue, result }, status }: ReportSource): Markup {
  const digest = (text: string) => markup`<span class="digest">${text}</span>`
  return section(
    'method',
    words.sections.method,
    facts([
      [words.summary, digest(issue.id)],
      [words.publication, words.publicationWord[status]],
      [words.issuer, issue.issuer],
      [words.submitter, issue.submitter],
      [words.issuedAt, issue.issuedAt],
      [words.supersedes, issue.supersedes],
      [words.registration, words.registrationWord[issue.registration]],
      [words.protocol, result.protocol.id],
      [words.methodVersion, result.method],
      [words.comparisonDigest, digest(result.inputs.comparison)],
      [words.protocolDigest, digest(result.protocol.digest)],
    ]),
    issue.issuer === issue.submitter ? markup`<p>${words.oneParty}</p>` : null,
  )
}

/** Safety. */
export function cautionsSection({ cautions }: Result): Markup | null {
  if (cautions.length === 0) return null
  return section(
    'cautions',
    words.sections.cautions,
    markup`<p>${words.cautionLead}</p><ul>${cautions.map(({ sentence }) => markup`<li>${sentence}</li>`)}</ul>`,
  )
}

/** What the report does not show. */
export function limitsSection({ limits }: Result): Markup {
  return section(
    'limits',
    words.sections.limits,
    markup`<ul>${[words.onlyTheseItems, ...limits].map((sentence) => markup`<li>${sentence}</li>`)}</ul>`,
  )
}

/** How to check the report, with the signed summary itself. */
export function verifySection({ jws }: ReportSource): Markup {
  return section(
    'verify',
    words.sections.verify,
    markup`<ol>${words.verifySteps.map((step) => markup`<li>${inline(step)}</li>`)}</ol>
<details class="no-print"><summary>${words.signedSummary}</summary><pre class="jws" tabindex="0">${jws}</pre></details>`,
  )
}
