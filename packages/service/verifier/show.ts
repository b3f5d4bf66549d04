/** The report on the page. Everything is set as text; nothing that was read becomes markup. */
import type { SummaryPayload } from '@fairpull/sdk/contract'
import type { StepOutcome, Verdict, VerificationReport } from '@fairpull/sdk/verify'
import type { Answer, ReadFile } from './messages.ts'
import { verifierWords as words } from './words.ts'

type Child = Node | string | null

/** An element with its class and children. */
function element(name: string, className: string, ...children: readonly Child[]): HTMLElement {
  const made = document.createElement(name)
  if (className !== '') made.className = className
  made.append(...children.filter((child) => child !== null))
  return made
}

const paragraph = (className: string, ...children: readonly Child[]) => element('p', className, ...children)
const heading = (text: string) => element('h2', '', text)

function list(items: readonly (string | Node)[], className = ''): HTMLElement {
  return element('ul', className, ...items.map((item) => element('li', '', item)))
}

const tones: Readonly<Record<Verdict, string>> = { verified: 'good', 'intact-key-unknown': 'middling', refused: 'bad' }
const signs: Readonly<Record<StepOutcome, string>> = {
  passed: '✓',
  failed: '✕',
  noted: '◐',
  'not-checked': '?',
  'not-reached': '–',
}
const outcomeTones: Readonly<Record<StepOutcome, string>> = {
  passed: 'good',
  failed: 'bad',
  noted: 'middling',
  'not-checked': 'quiet',
  'not-reached': 'quiet',
}

/** What the worker found, as elements: the verdict first. */
export function shown({ files, report, notRecomputed }: Extract<Answer, { kind: 'done' }>): readonly Node[] {
  const given = [heading(words.filesHeading), list(files.map(fileLine))]
  if (report === null) return [paragraph('standing middling', words.noSummary), ...given]
  return [
    ...verdictPart(report),
    ...(notRecomputed === null ? [] : [paragraph('bad', notRecomputed)]),
    ...stepsPart(report),
    ...(report.payload === null ? [] : contentPart(report, report.payload)),
    ...given,
  ]
}

function fileLine({ name, role, problem }: ReadFile): Node {
  const tone = role === 'unknown' || problem !== null ? 'bad' : 'quiet'
  return element(
    'span',
    '',
    element('strong', '', name),
    ': ',
    element('span', tone, problem === null ? words.role[role] : `${words.role[role]}; ${problem}`),
  )
}

function verdictPart({ verdict, failure, recomputed }: VerificationReport): readonly Node[] {
  const isKeyMissing = failure?.code === 'ERR_SIGNATURE_NO_KEY'
  const tone = isKeyMissing ? 'middling' : tones[verdict]
  return [
    paragraph(`standing ${tone}`, isKeyMissing ? words.keyMissing : words.verdict[verdict]),
    ...(failure === null ? [] : [paragraph('', words.failure(failure.sentence, failure.code, failure.pointer))]),
    ...(isKeyMissing ? [paragraph('', words.keyMissingHint)] : []),
    ...(recomputed.otherRuns.length > 0 ? [paragraph('bad', words.otherRuns(recomputed.otherRuns))] : []),
    ...(recomputed.memberCount > 0 ? [paragraph('', words.members(recomputed.members, recomputed.memberCount))] : []),
  ]
}

function stepsPart({ steps }: VerificationReport): readonly Node[] {
  const lines = steps.map(({ step, outcome, sentence }) => {
    const graded = words.graded(step, words.outcome[outcome])
    return element('span', '', element('span', outcomeTones[outcome], `${signs[outcome]} ${graded}`), ` ${sentence}.`)
  })
  return [heading(words.stepsHeading), list(lines, 'plain')]
}

function contentPart({ scope }: VerificationReport, { issue, result }: SummaryPayload): readonly Node[] {
  const { accounting, protocol, method } = result
  const claims = result.claims.map(({ judgement, statement, sentence }) => `${judgement}: ${statement} ${sentence}`)
  return [
    heading(words.contentHeading),
    paragraph('verdict', result.verdict),
    ...(result.scope.length === 0 ? [] : [list(result.scope)]),
    facts([
      [words.standing, result.standing],
      [words.issuedBy, issue.issuer],
      [words.submittedBy, issue.submitter],
      [words.issuedAt, issue.issuedAt],
      [words.supersedes, issue.supersedes ?? ''],
      [words.runs, words.runsUsed(accounting.used.length, accounting.recorded)],
      [words.method, `${method}, ${protocol.id}`],
    ]),
    ...(scope?.isOneParty === true ? [paragraph('middling', words.oneParty)] : []),
    ...(claims.length === 0 ? [] : [element('h3', '', words.claimsHeading), list(claims)]),
    element('h3', '', words.limitsHeading),
    list([words.caution, ...result.limits]),
  ]
}

function facts(entries: readonly (readonly [string, string])[]): Node {
  const filled = entries.filter(([, text]) => text !== '')
  return element('dl', 'facts', ...filled.flatMap(([term, text]) => [element('dt', '', term), element('dd', '', text)]))
}
