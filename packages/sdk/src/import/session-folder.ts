/**
 * A session folder: `session.yaml` says what holds for all runs, `runs.csv` has one line per run, and the runs
 * themselves are files beside them. Together they are a comparison.
 */
import type { Comparison } from '../contract/index.ts'
import { readComparison } from '../contract/read-comparison.ts'
import { isObject } from './column-mapping.ts'
import { parseDialect } from './dialect-written.ts'
import { ImportError, type ImportProblem, problemOf } from './import-error.ts'
import { type ReadFile, type RunFileOptions, readRunFiles } from './run-files.ts'
import { parseRunSheet, type RunSheet } from './run-sheet.ts'
import { parseSessionYaml, type SessionText } from './session-yaml.ts'
import { sheetColumns } from './sheet-columns.ts'

/** Names of the two files every session folder has. */
export const sessionFiles = { session: 'session.yaml', sheet: 'runs.csv' } as const

/** A run whose file is not there yet. */
export interface AwaitedRun {
  /** Id of the run. */
  readonly run: string
  /** The file it is to be read from; null where none is named. */
  readonly file: string | null
  /** Its line in the run sheet, from 1. */
  readonly line: number
}

/** A session folder as far as it is filled. */
export interface SessionSurvey {
  /** The comparison; a run that is awaited has no channels. Null where problems keep it from being read. */
  readonly comparison: Comparison | null
  /** Everything that cannot be read, with file, line and column. */
  readonly problems: readonly ImportProblem[]
  /** Measured runs that are still to be made. */
  readonly awaited: readonly AwaitedRun[]
}

/**
 * The comparison in a session folder.
 *
 * @param readFile reads a file of the folder by its name; names never lead out of it.
 * @throws ImportError with every problem found, each with file, line and column.
 */
export async function readSessionFolder(readFile: ReadFile, options: RunFileOptions = {}): Promise<Comparison> {
  const { comparison, problems } = await readFolder(readFile, { ...options, isAwaiting: false })
  const [first, ...others] = problems
  if (first !== undefined) throw new ImportError(first, ...others)
  if (comparison === null) throw new TypeError('neither a comparison nor a problem')
  return comparison
}

/** A session folder before all its runs are made: what can be read of it, what cannot, and which runs are awaited. */
export function surveySessionFolder(readFile: ReadFile, options: RunFileOptions = {}): Promise<SessionSurvey> {
  return readFolder(readFile, { ...options, isAwaiting: true })
}

interface FolderOptions extends RunFileOptions {
  /** Whether a measured run without a file is awaited rather than refused. */
  readonly isAwaiting: boolean
}

async function readFolder(readFile: ReadFile, options: FolderOptions): Promise<SessionSurvey> {
  const problems: ImportProblem[] = []
  const session = await part(sessionFiles.session, readFile, parseSessionYaml, problems)
  const stated = session === undefined ? {} : statedDialect(session, problems)
  const sheet = await part(sessionFiles.sheet, readFile, (bytes) => parseRunSheet(bytes, stated), problems)
  if (session === undefined || sheet === undefined) return { comparison: null, problems, awaited: [] }

  const { columns, csv, origin, processing, sheet: _, ...members } = session.members
  const common = { ...(origin === undefined ? {} : { origin }), ...(processing === undefined ? {} : { processing }) }
  const local = { columns, csv, runs: sheet.runs.map((run) => ({ ...common, ...run })) }
  const read = await readRunFiles(local, readFile, options)
  const awaited = options.isAwaiting ? awaitedRuns(sheet, read.problems) : []
  const lines = new Set(awaited.map(({ line }) => line))
  const isAwaited = (index: number) => lines.has(sheet.lines[index] ?? 0)
  const found = read.problems.filter(
    ({ code, pointer }) => !(code === 'ERR_FILE_NOT_FOUND' && isAwaited(runIndex(pointer ?? ''))),
  )

  const submitted = { ...members, ...excludedOf(sheet), runs: read.runs }
  const refused = refusals(submitted, isAwaited, new Set(read.unread))
  const placed = [...found, ...refused].map((problem) => inFolder(problem, session, sheet))
  problems.push(...onceEach(placed))
  // Every member was read; only the figures of awaited runs are still to come.
  return { comparison: problems.length === 0 ? (submitted as unknown as Comparison) : null, problems, awaited }
}

/** One fault of the session file shows in every run. */
function onceEach(problems: readonly ImportProblem[]): readonly ImportProblem[] {
  return [...new Map(problems.map((problem) => [JSON.stringify(problem), problem])).values()]
}

/** A file of the folder, read and parsed; undefined, and its problems noted, where it cannot be. */
async function part<T>(
  file: string,
  readFile: ReadFile,
  parse: (bytes: Uint8Array) => T,
  problems: ImportProblem[],
): Promise<T | undefined> {
  let bytes: Uint8Array
  try {
    bytes = await readFile(file)
  } catch (cause) {
    const why = cause instanceof Error && cause.message !== '' ? ` (${cause.message})` : ''
    problems.push(
      problemOf({
        code: 'ERR_FILE_NOT_FOUND',
        file,
        detail: `the file cannot be read${why}.`,
        fix: `A session folder holds ${sessionFiles.session} and ${sessionFiles.sheet}; fairpull init writes both.`,
      }),
    )
    return undefined
  }
  try {
    return parse(bytes)
  } catch (error) {
    if (!(error instanceof ImportError)) throw error
    problems.push(...error.problems.map((problem) => ({ ...problem, file, fix: sheetFix(problem) })))
    return undefined
  }
}

function sheetFix({ code, fix }: ImportProblem): string {
  return code === 'ERR_CSV_DECIMAL_AMBIGUOUS'
    ? `State it in ${sessionFiles.session}: sheet: { decimal: "," } for a fraction; else write no thousands mark.`
    : fix
}

function statedDialect({ members, placeOf }: SessionText, problems: ImportProblem[]) {
  try {
    return parseDialect(members.sheet, '/sheet')
  } catch (error) {
    if (!(error instanceof ImportError)) throw error
    const file = sessionFiles.session
    problems.push(...error.problems.map((each) => ({ ...each, file, ...placeOf(each.pointer ?? ''), pointer: null })))
    return {}
  }
}

function excludedOf({ excluded }: RunSheet): object {
  return excluded.length === 0 ? {} : { excluded }
}

/** Measured runs whose file is not there, or that name none and report nothing. */
function awaitedRuns({ runs, lines }: RunSheet, problems: readonly ImportProblem[]): readonly AwaitedRun[] {
  const absent = new Set(
    problems.flatMap(({ code, pointer }) => (code === 'ERR_FILE_NOT_FOUND' ? [runIndex(pointer ?? '')] : [])),
  )
  return runs.flatMap(({ id, file, purpose, reported }, index) => {
    const isOpen = purpose === 'measured' && file === undefined && reported === undefined
    if (!isOpen && !absent.has(index)) return []
    return [{ run: String(id ?? ''), file: typeof file === 'string' ? file : null, line: lines[index] ?? 0 }]
  })
}

/** Stands in for the figures of an awaited run while the rest is read; it goes no further. */
const FIGURES_TO_COME = { peakPower: { value: 1, unit: 'kW' } } as const

/** What the contract refuses; a run whose file could not be read is not blamed for having no figures. */
function refusals(
  submitted: { readonly runs: readonly unknown[] },
  isAwaited: (index: number) => boolean,
  unread: ReadonlySet<number>,
): readonly ImportProblem[] {
  const runs = submitted.runs.map((run, index) =>
    isObject(run) && run.channels === undefined && (isAwaited(index) || unread.has(index))
      ? { ...run, reported: run.reported ?? FIGURES_TO_COME }
      : run,
  )
  const read = readComparison({ ...submitted, runs })
  return read.ok ? [] : read.problems.map(({ code, pointer, detail }) => problemOf({ code, pointer, detail, fix: '' }))
}

function runIndex(pointer: string): number {
  const [, index] = /^\/runs\/(\d+)/.exec(pointer) ?? []
  return index === undefined ? -1 : Number(index)
}

/** A problem of the document with its place in the folder, and the name of the member where the place does not say it. */
function inFolder(problem: ImportProblem, session: SessionText, sheet: RunSheet): ImportProblem {
  const pointer = problem.pointer ?? ''
  const isInRunFile = problem.file !== null && problem.line !== null
  if (isInRunFile) return { ...problem, pointer: null }
  const [, list, index = '', path = ''] = /^\/(runs|excluded)\/(\d+)\/?(.*)$/.exec(pointer) ?? []
  if (list === undefined) return inSession(problem, pointer, session)
  const run = list === 'runs' ? Number(index) : (sheet.excludedRuns[Number(index)] ?? 0)
  const member = list === 'runs' ? path : `excluded/${path}`
  if (problem.code === 'ERR_NO_FIGURES') return noFigures(problem, sheet.lines[run] ?? null)
  const { file } = sheet.runs[run] ?? {}
  const [, channel] = /^channels\/?([^/]*)/.exec(path) ?? []
  if (channel !== undefined && typeof file === 'string') {
    return { ...problem, file, pointer: null, detail: named(channel, problem.detail) }
  }
  const column = sheet.headerOf(member) ?? null
  const isCommon = column === null && /^(?:processing|origin)/.test(path)
  if (isCommon) return inSession(problem, `/${path}`, session)
  return {
    ...problem,
    file: sessionFiles.sheet,
    line: sheet.lines[run] ?? null,
    column,
    pointer: null,
    detail: named(column === null ? columnName(member) : '', aboutFile(problem)),
    fix: problem.code === 'ERR_MISSING_MEMBER' && column !== null ? 'The cell is empty; fill it in.' : problem.fix,
  }
}

function noFigures(problem: ImportProblem, line: number | null): ImportProblem {
  return {
    ...problem,
    file: sessionFiles.sheet,
    line,
    pointer: null,
    detail: 'the measured run names no file and reports no peak.',
    fix: 'Name its file; a run that was not for measuring has the purpose conditioning, tuning, aborted or diagnosis.',
  }
}

function inSession(problem: ImportProblem, pointer: string, { placeOf, isQuantity }: SessionText): ImportProblem {
  const place = placeOf(pointer, problem.code === 'ERR_UNKNOWN_MEMBER' ? 'name' : 'value')
  const isUnmapped = problem.code === 'ERR_MAPPING' && pointer === '/columns'
  return {
    ...problem,
    fix: isUnmapped
      ? 'fairpull columns FILE proposes the lines to paste, from a file of a run.'
      : isQuantity(pointer)
        ? 'In short: a number with a decimal point, a blank and the unit, such as 250 kPa.'
        : problem.fix,
    file: pointer === '/runs' ? sessionFiles.sheet : sessionFiles.session,
    line: place?.line ?? null,
    character: place?.character ?? null,
    pointer: null,
    detail: named(pointer.split('/').at(-1) ?? '', problem.detail),
  }
}

/** The column a member would stand in, else the member itself. */
function columnName(member: string): string {
  const column = sheetColumns.findLast(({ path }) => path === member || member.startsWith(`${path}/`))
  return column?.name ?? member.replaceAll('/', '.')
}

function aboutFile({ file, detail }: ImportProblem): string {
  return file === null ? detail : `${file}: ${detail}`
}

function named(member: string, detail: string): string {
  return member === '' || /^\d+$/.test(member)
    ? detail
    : `${member}: ${detail.charAt(0).toLowerCase()}${detail.slice(1)}`
}
