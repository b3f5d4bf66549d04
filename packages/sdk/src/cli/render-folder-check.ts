/** What a session folder lacks, as a person reads it. Pure. */
import type { Comparison, Finding } from '../contract/index.ts'
import type { FolderCheck } from './folder-check.ts'
import type { Page } from './page.ts'
import { placesToWrite } from './places-to-write.ts'
import { groupedProblems, sayProblems } from './render-error.ts'
import { counted, shellWord } from './text.ts'

/** What is shown of a check. */
export interface FolderCheckView {
  /** Name of the folder. */
  readonly path: string
  /** Whether what is settled is shown in full. */
  readonly isFull: boolean
  /** The comparison, as far as it can be read. */
  readonly comparison: Comparison | null
}

/** Adds what a folder lacks: what cannot be read, what notes supply, what the rig, what the runs. */
export function sayFolderCheck(page: Page, check: FolderCheck, view: FolderCheckView): void {
  page.say(view.path, { tint: 'heading' })
  page.say(headline(check), { tint: check.problems.length > 0 ? 'bad' : check.isReady ? 'good' : 'middling' })
  if (check.problems.length > 0) {
    page.section('What cannot be read: put this right first')
    sayProblems(page, check.problems)
  }
  sayToWrite(page, 'From your notes, once', 'session', check.fromRecords, view)
  sayToPutRight(page, check.toPutRight)
  sayAwaited(page, check)
  sayToWrite(page, 'To be noted with each run', 'sheet', check.withEachRun, view)
  sayClaims(page, check, view)
  saySettled(page, check.met, view.isFull)
  page.put('')
  page.say(nextText(check, view.path), { first: 'Next: ' })
}

function headline({ problems, fromRecords, toPutRight, awaited, isReady }: FolderCheck): string {
  if (problems.length > 0) return `${counted(groupedProblems(problems).length, 'thing')} cannot be read.`
  if (isReady && awaited.length > 0) return `Ready to run: ${counted(awaited.length, 'measured run')} to be made.`
  if (isReady) return 'Ready to be assessed.'
  const entries = grouped(fromRecords).length
  const parts = [
    entries > 0 ? `${counted(entries, 'entry', 'entries')} missing from the notes` : '',
    toPutRight.length > 0 ? `${counted(toPutRight.length, 'thing')} to put right` : '',
    awaited.length > 0 ? `${counted(awaited.length, 'measured run')} to be made` : '',
  ]
  return `Not ready: ${parts.filter((part) => part !== '').join(', ')}.`
}

interface Entry {
  readonly checks: readonly string[]
  readonly remedy: string
  readonly runs: readonly string[]
}

/** Findings that one remedy settles are one entry. */
function grouped(findings: readonly Finding[]): readonly Entry[] {
  const entries = new Map<string, Entry>()
  for (const { check, remedy, sentence, runs } of findings) {
    const text = remedy === '' ? sentence : remedy
    const entry = entries.get(text)
    entries.set(text, {
      checks: [...(entry?.checks ?? []), check],
      remedy: text,
      runs: [...new Set([...(entry?.runs ?? []), ...runs])],
    })
  }
  return [...entries.values()]
}

function sayToWrite(
  page: Page,
  title: string,
  first: 'session' | 'sheet',
  findings: readonly Finding[],
  view: FolderCheckView,
): void {
  if (findings.length === 0) return
  page.section(title)
  for (const [index, { checks, remedy, runs }] of grouped(findings).entries()) {
    page.say(remedy, { first: `${String(index + 1).padStart(4)}. ` })
    const places = [...new Set(checks.flatMap((check) => placesOf(check, first)))]
    const whose = places.some((place) => place.startsWith('runs.csv')) ? whoseText(runs, view) : ''
    page.say(`${places.join('; ')}${whose}`, { first: `      ${page.look.signs.arrow} `, tint: 'quiet' })
  }
}

/** Where it is written; of two places the one that fits the moment first. */
function placesOf(check: string, first: 'session' | 'sheet'): readonly string[] {
  const { session, sheet } = placesToWrite[check] ?? {}
  const texts = {
    session: session === undefined ? [] : [`session.yaml: ${session}`],
    sheet: sheet === undefined ? [] : [`runs.csv: ${sheet}`],
  }
  return first === 'session' ? [...texts.session, ...texts.sheet] : [...texts.sheet, ...texts.session]
}

/** Runs named in a line. */
const NAMED_RUNS = 6

function whoseText(runs: readonly string[], { comparison }: FolderCheckView): string {
  const measured = (comparison?.runs ?? []).filter(({ purpose }) => purpose === 'measured')
  if (runs.length === 0 || measured.every(({ id }) => runs.includes(id))) return ''
  return `, for ${namesText(runs)}`
}

function namesText(runs: readonly string[]): string {
  const rest = runs.length - NAMED_RUNS
  return rest > 0 ? `${runs.slice(0, NAMED_RUNS).join(', ')} and ${rest} more` : runs.join(', ')
}

function sayToPutRight(page: Page, findings: readonly Finding[]): void {
  if (findings.length === 0) return
  const { signs } = page.look
  page.section('To put right before you go on')
  for (const { check, sentence, remedy, status } of findings) {
    const isBreached = status === 'breached'
    page.say(`${check}: ${sentence}`, {
      first: `  ${isBreached ? signs.bad : signs.middling} `,
      tint: isBreached ? 'bad' : 'middling',
    })
    if (remedy !== '') page.say(remedy, { first: `    ${signs.arrow} ` })
  }
}

function sayAwaited(page: Page, { awaited, forTheRuns }: FolderCheck): void {
  if (awaited.length === 0 && forTheRuns.length === 0) return
  page.section(awaited.length > 0 ? 'Runs to be made' : 'What further runs would show')
  if (awaited.length > 0) {
    page.say(`${counted(awaited.length, 'run')}: ${namesText(awaited.map(({ run }) => run))}.`, { first: '  ' })
    const seen = forTheRuns.map(({ check }) => check)
    if (seen.length > 0) page.say(`They show: ${seen.join(', ')}.`, { first: '  ', tint: 'quiet' })
    return
  }
  for (const { check, remedy, sentence } of forTheRuns) {
    page.say(`${check}: ${remedy === '' ? sentence : remedy}`, { first: `  ${page.look.signs.open} ` })
  }
}

function sayClaims(page: Page, { problems }: FolderCheck, { comparison }: FolderCheckView): void {
  if (problems.length > 0 || (comparison?.claims ?? []).length > 0) return
  page.section('No claim is stated')
  page.say('The gain is printed all the same. To have a statement judged, add it under claims in session.yaml.', {
    first: '  ',
  })
}

function saySettled(page: Page, met: readonly Finding[], isFull: boolean): void {
  if (met.length === 0) return
  page.section(`Settled: ${counted(met.length, 'check')}`)
  if (!isFull) page.say(met.map(({ check }) => check).join(', '), { first: '  ', tint: 'quiet' })
  else for (const { check, sentence } of met) page.say(`${check}: ${sentence}`, { first: `  ${page.look.signs.good} ` })
}

function nextText({ isReady, awaited }: FolderCheck, path: string): string {
  const folder = shellWord(path)
  if (!isReady) return `fairpull check ${folder}`
  return awaited.length > 0
    ? `make the runs, export each to its file, then: fairpull assess ${folder}`
    : `fairpull assess ${folder}`
}
