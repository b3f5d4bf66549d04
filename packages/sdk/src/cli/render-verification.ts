/** A verification report as a person reads it. Pure. */
import type { SummaryPayload } from '../contract/index.ts'
import type { StepOutcome, StepReport, Verdict, VerificationReport } from '../integrity/index.ts'
import { createLook, type Look, type LookOptions, type Tint } from './look.ts'
import { createPage, type Page } from './page.ts'
import { sayClaims } from './render-claims.ts'
import { capitalised } from './text.ts'

/** What is shown of a report. */
export interface VerificationOptions extends LookOptions {
  /** Line above the report, for example the name of the file. */
  readonly title?: string
  /** Whether the content is in a form this version can show. Default: yes. */
  readonly isReadable?: boolean
}

const verdictWords: Readonly<Record<Verdict, readonly [Tint, string]>> = {
  verified: ['good', 'VERIFIED: unaltered, and signed by a key you trust'],
  'intact-key-unknown': ['middling', 'INTACT, KEY UNKNOWN: unaltered, but nobody you trust vouches for the key'],
  refused: ['bad', 'REFUSED: do not rely on this summary'],
}

const keyMissingWords = ['middling', 'NOT CHECKED: the key to check the signature with is missing'] as const

const withdrawnWords = [
  'bad',
  'WITHDRAWN: unaltered since it was signed, but taken back by whoever submitted it',
] as const

function headline(report: VerificationReport): readonly [Tint, string] {
  if (isKeyMissing(report)) return keyMissingWords
  if (report.verdict !== 'refused' && report.withdrawn.status === 'withdrawn') return withdrawnWords
  return verdictWords[report.verdict]
}

/** True when nothing speaks against a summary, but its signature could not be checked for want of the key. */
export function isKeyMissing({ failure }: VerificationReport): boolean {
  return failure?.code === 'ERR_SIGNATURE_NO_KEY'
}

/** The text of a report, each line at most `width` columns wide, without a line end after the last one. */
export function renderVerification(report: VerificationReport, options: VerificationOptions = {}): string {
  const page = createPage(createLook(options))
  const [tint, words] = headline(report)
  if (options.title !== undefined) page.say(options.title, { tint: 'heading' })
  page.say(words, { tint })
  if (report.failure !== null) {
    const { code, sentence, pointer } = report.failure
    page.say(`${capitalised(sentence)} (${code}${pointer === '' ? '' : ` at ${pointer}`}).`)
  }
  sayWithdrawal(page, report)
  sayScope(page, report)
  sayRecomputation(page, report)
  page.section('Step by step')
  for (const step of report.steps) sayStep(page, step)
  if (report.payload !== null && options.isReadable !== false) sayContent(page, report.payload)
  if (options.isReadable === false) page.say('Its content is in a form this version cannot show; see --json.')
  return page.lines.join('\n')
}

function sayWithdrawal(page: Page, { withdrawn, failure }: VerificationReport): void {
  const { status, asOf, reason } = withdrawn
  if (status === 'withdrawn') {
    page.say(`Withdrawn ${asOf}: ${reason}`, { tint: 'bad' })
  } else if (status === 'not-withdrawn' && failure === null) {
    page.say(`Not withdrawn as of ${asOf}, as the service says that keeps the log.`)
  }
}

function sayScope(page: Page, { scope }: VerificationReport): void {
  if (scope === null) return
  const { issuer, submitter, isOneParty, issuedAt, supersedes } = scope
  page.say(`Issued by ${issuer} for ${submitter}, ${issuedAt}.`)
  if (isOneParty) page.say('Issuer and submitter are one party: it vouches for itself.', { tint: 'middling' })
  if (supersedes !== null) page.say(`It replaces the summary ${supersedes}.`)
}

function sayRecomputation(page: Page, { recomputed }: VerificationReport): void {
  const { answer, members, memberCount, otherRuns } = recomputed
  if (answer === 'not-asked') return
  if (otherRuns.length > 0)
    page.say(`Runs that are missing or other than signed: ${otherRuns.join(', ')}.`, { tint: 'bad' })
  if (memberCount > 0)
    page.say(`Members that are not equal: ${members.slice(0, 5).join(', ')}${memberCount > 5 ? ', …' : ''}.`)
}

const outcomeTints: Readonly<Record<StepOutcome, Tint>> = {
  passed: 'good',
  failed: 'bad',
  noted: 'middling',
  'not-checked': 'quiet',
  'not-reached': 'quiet',
}

function sayStep(page: Page, { step, outcome, sentence }: StepReport): void {
  page.say(`${step}: ${sentence}`, { first: `  ${signOf(outcome, page.look)} `, tint: outcomeTints[outcome] })
}

function signOf(outcome: StepOutcome, { signs }: Look): string {
  return {
    passed: signs.good,
    failed: signs.bad,
    noted: signs.middling,
    'not-checked': signs.open,
    'not-reached': signs.minus,
  }[outcome]
}

function sayContent(page: Page, { result }: SummaryPayload): void {
  page.section('What it says')
  page.say(`${result.standing.toUpperCase()}: ${result.verdict}`, { first: '  ' })
  for (const sentence of result.scope) page.say(sentence, { first: `  ${page.look.signs.bullet} ` })
  sayClaims(page, result.claims, { findings: result.findings, full: false })
  page.section('What a signature does not show')
  page.say(
    'It shows who said what, and that the arithmetic follows from the data. It does not show that the rig was honest.',
    { first: '  ' },
  )
}
