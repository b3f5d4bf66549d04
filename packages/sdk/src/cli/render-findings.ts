/** What the checks found, as a person reads it: what breaks first, what is met only counted. Pure. */
import type { Finding } from '../contract/index.ts'
import type { Tint } from './look.ts'
import type { Page } from './page.ts'
import { counted } from './text.ts'

/** How much is shown. `brief`: what is breached or marginal; `usual`: also what lacks evidence; `full`: everything. */
export type FindingDetail = 'brief' | 'usual' | 'full'

const severityWords: Readonly<Record<Finding['severity'], string>> = {
  gate: 'it breaks the comparison',
  'run-level': 'it breaks the comparison while the run is used',
  scope: 'it limits what can be said',
  note: 'for the record',
}

/** Severities, the weightiest first. */
const weights: readonly Finding['severity'][] = ['gate', 'run-level', 'scope', 'note']

/** Checks without evidence that are listed unless all are asked for. */
const LISTED_OPEN = 8

/** Adds the findings: breached, marginal, without evidence; then how many are met. */
export function sayFindings(page: Page, findings: readonly Finding[], detail: FindingDetail): void {
  const { signs } = page.look
  const of = (status: Finding['status']) => byWeight(findings.filter((finding) => finding.status === status))
  page.section('What was checked')
  for (const finding of of('breached')) sayFinding(page, finding, 'bad', signs.bad)
  for (const finding of of('marginal')) sayFinding(page, finding, 'middling', signs.middling)
  sayOpen(page, of('not-evidenced'), detail)
  if (detail === 'full') for (const finding of of('met')) sayFinding(page, finding, 'good', signs.good)
  sayCounts(page, of('met').length, of('not-applicable').length)
}

function byWeight(findings: readonly Finding[]): readonly Finding[] {
  return findings.toSorted((a, b) => weights.indexOf(a.severity) - weights.indexOf(b.severity))
}

function sayFinding(page: Page, finding: Finding, tint: Tint, sign: string): void {
  const weight = finding.status === 'breached' ? `; ${severityWords[finding.severity]}` : ''
  page.say(`${finding.check}: ${finding.status}${weight}`, { first: `  ${sign} `, tint })
  page.say(finding.sentence, { first: '      ' })
  if (finding.remedy !== '' && finding.status !== 'met')
    page.say(finding.remedy, { first: `    ${page.look.signs.arrow} ` })
}

/** One paragraph per check: what is missing is said by what to add. */
function sayOpen(page: Page, open: readonly Finding[], detail: FindingDetail): void {
  const shown = detail === 'brief' ? [] : detail === 'full' ? open : open.slice(0, LISTED_OPEN)
  for (const { check, sentence, remedy } of shown) {
    const text = detail === 'full' ? `${sentence} ${remedy}`.trim() : remedy || sentence
    page.say(`${check}: no evidence. ${text}`, { first: `  ${page.look.signs.open} ` })
  }
  const rest = open.length - shown.length
  if (rest === 0) return
  const more = shown.length > 0 ? 'more without evidence; --full lists them' : 'without evidence'
  page.say(`${counted(rest, 'check')} ${more}.`, { first: `  ${page.look.signs.open} ` })
}

function sayCounts(page: Page, met: number, notApplicable: number): void {
  const apart = notApplicable === 0 ? '' : `; ${counted(notApplicable, 'check does', 'checks do')} not apply here`
  const { signs } = page.look
  page.say(`${met === 0 ? 'No check' : counted(met, 'check')} met${apart}.`, {
    first: `  ${met === 0 ? signs.open : signs.good} `,
  })
}
