/** Errors as help: what is wrong, where, and the next command to try. */
import { ImportError, type ImportProblem, placeText } from '../import/import-error.ts'
import { CommandError } from './command-error.ts'
import { type ExitCode, exitCodes } from './exit-codes.ts'
import type { Look } from './look.ts'
import { createPage, type Page } from './page.ts'
import { counted } from './text.ts'

/** An error rendered, and the exit code it stands for. */
export interface RenderedError {
  /** Lines for a person. */
  readonly text: string
  /** How the command ends. */
  readonly exit: ExitCode
}

/** Problems of a file that are listed. */
const LISTED = 12

/**
 * An error for a person.
 *
 * @param again the command that failed, to be tried again once the cause is gone.
 */
export function renderError(error: unknown, look: Look, again: string): RenderedError {
  const page = createPage(look)
  const { exit, next } = sayError(page, error, again)
  sayNext(page, next)
  return { text: `${page.lines.join('\n')}\n`, exit: exitCodes[exit] }
}

/** A command to copy is not broken; where it does not fit, it stands on a line of its own. */
function sayNext(page: Page, next: string): void {
  const line = `Next: ${page.look.words(next)}`
  if (line.length <= page.look.width) page.put(line)
  else if (next.startsWith('fairpull ')) page.put('Next:', `  ${page.look.words(next)}`)
  else page.say(next, { first: 'Next: ' })
}

interface Ending {
  readonly exit: keyof typeof exitCodes
  readonly next: string
}

function sayError(page: Page, error: unknown, again: string): Ending {
  if (error instanceof CommandError) {
    page.say(error.message, { first: 'fairpull: ' })
    return error
  }
  if (error instanceof ImportError) {
    const { length } = groupedProblems(error.problems)
    page.say(length === 1 ? 'the input cannot be used.' : `the input cannot be used, for ${length} reasons.`, {
      first: 'fairpull: ',
    })
    sayProblems(page, error.problems)
    return { exit: 'input', next: again }
  }
  if (isUnknownProtocol(error)) {
    page.say(`protocol: ${error.message}.`, { first: 'fairpull: ' })
    return { exit: 'input', next: 'fairpull protocols' }
  }
  if (!isCoded(error)) return sayFault(page, error)
  if (error.code === 'ERR_ABORTED') {
    page.say('interrupted.', { first: 'fairpull: ' })
    return { exit: 'interrupted', next: again }
  }
  if (error.name === 'VerificationError') {
    page.say(`the summary that came back is refused (${error.code}): ${error.message}. It is not shown.`, {
      first: 'fairpull: ',
    })
    return { exit: 'refused', next: 'check --keys and --issuer; tell the operator of the service if they are right' }
  }
  const [head = '', ...details] = error.message.split('\n')
  page.say(head, { first: 'fairpull: ' })
  for (const detail of details) page.say(detail.trim(), { first: '  ' })
  return { exit: error.name === 'ConfigurationError' || error.name === 'BodyError' ? 'input' : 'service', next: again }
}

/** Problems of files, each with its place and its fix; what is wrong alike in several places is said once. */
export function sayProblems(page: Page, problems: readonly ImportProblem[]): void {
  const { signs } = page.look
  const groups = groupedProblems(problems)
  for (const group of groups.slice(0, LISTED)) {
    const [first] = group
    const place = groupPlace(group)
    page.say(`${place === '' ? '' : `${place}: `}${first.detail}`, { first: `  ${signs.bad} ` })
    if (first.fix !== '') page.say(first.fix, { first: `    ${signs.arrow} ` })
  }
  if (groups.length > LISTED) page.say(`and ${groups.length - LISTED} more.`, { first: '    ' })
}

type Group = readonly [ImportProblem, ...ImportProblem[]]

/** Problems of one column that differ in nothing but file and line. */
export function groupedProblems(problems: readonly ImportProblem[]): readonly Group[] {
  const groups = new Map<string, Group>()
  for (const problem of problems) {
    const isOneOfMany = problem.line !== null && problem.column !== null
    const key = JSON.stringify(isOneOfMany ? { ...problem, file: null, line: null, pointer: null } : problem)
    const group = groups.get(key)
    groups.set(key, group === undefined ? [problem] : [...group, problem])
  }
  return [...groups.values()]
}

/** Lines named in a message. */
const NAMED_LINES = 5

function groupPlace(group: Group): string {
  const [first] = group
  const files = new Set(group.map(({ file }) => file))
  if (files.size > 1) return placeText({ ...first, file: `${first.file} and ${counted(files.size - 1, 'more file')}` })
  return placeText(first, group.length > 1 ? linesText(group) : undefined)
}

function linesText(group: Group): string {
  const lines = group.map(({ line }) => line)
  const rest = lines.length - NAMED_LINES
  return rest > 0 ? `lines ${lines.slice(0, NAMED_LINES).join(', ')} and ${rest} more` : `lines ${lines.join(', ')}`
}

function sayFault(page: Page, error: unknown): Ending {
  const what = error instanceof Error ? `${error.name}: ${error.message}` : String(error)
  page.say(`a fault of this programme, not of your data. ${what}`, { first: 'fairpull: ' })
  return { exit: 'fault', next: 'set FAIRPULL_DEBUG=1, run it again, and report what it prints' }
}

function isCoded(error: unknown): error is Error & { readonly code: string } {
  if (!(error instanceof Error) || !('code' in error) || typeof error.code !== 'string') return false
  return ('fairpull' in error && error.fairpull === true) || error.name === 'VerificationError'
}

/** Which protocols there are the engine knows, not the reader of the document. */
function isUnknownProtocol(error: unknown): error is Error {
  return error instanceof Error && 'code' in error && error.code === 'ERR_UNKNOWN_PROTOCOL'
}
