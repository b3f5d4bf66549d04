/** The command in this process: files in memory, streams as text, an engine that is handed over. */
import type { CommandIo } from '../../packages/sdk/src/cli/io.ts'
import { run } from '../../packages/sdk/src/cli/run.ts'
import type { Tools } from '../../packages/sdk/src/cli/tools.ts'
import type { Comparison, Protocol, Result } from '../../packages/sdk/src/contract/index.ts'
import { readComparisonFile, readSessionFolder, surveySessionFolder } from '../../packages/sdk/src/import/index.ts'
import { adviseSampleSize, checkEachRun } from '../../packages/sdk/src/local/index.ts'

/** What a command line left behind. */
export interface Outcome {
  readonly exit: number
  readonly stdout: string
  readonly stderr: string
  /** Files written, by path. */
  readonly written: Readonly<Record<string, string>>
}

/** Surroundings of one command line. */
export interface Surroundings {
  readonly files?: Readonly<Record<string, string | Uint8Array>>
  readonly env?: Readonly<Record<string, string>>
  readonly isTerminal?: boolean
  readonly columns?: number
  readonly fetch?: typeof fetch
  readonly signal?: AbortSignal
  /** What the engine answers, or how. */
  readonly assess?: Result | ((comparison: Comparison) => Result | Promise<Result>)
  readonly protocols?: readonly Protocol[]
  /** How long each file takes to read. [ms] */
  readonly delay_ms?: number
  /** Paths that cannot be written. */
  readonly readOnly?: readonly string[]
}

/** Runs one command line. */
export async function fairpull(argv: readonly string[], around: Surroundings = {}): Promise<Outcome> {
  const out: string[] = []
  const err: string[] = []
  const written: Record<string, string> = {}
  const io: CommandIo = {
    stdout: { write: (text) => void out.push(text), isTerminal: around.isTerminal ?? false, columns: around.columns },
    stderr: { write: (text) => void err.push(text), isTerminal: false, columns: undefined },
    env: around.env ?? {},
    version: async () => '1.2.3',
    signal: around.signal ?? new AbortController().signal,
    files: {
      read: async (path) => {
        if (around.delay_ms !== undefined) await new Promise((resolve) => setTimeout(resolve, around.delay_ms))
        return contentOf(around.files?.[path])
      },
      write: async (path, text) => {
        if (around.readOnly?.includes(path)) throw Object.assign(new Error('EACCES'), { code: 'EACCES' })
        written[path] = text
      },
      create: async (path, text) => {
        if (around.readOnly?.includes(path)) throw Object.assign(new Error('EACCES'), { code: 'EACCES' })
        if (around.files?.[path] !== undefined) throw Object.assign(new Error('EEXIST'), { code: 'EEXIST' })
        written[path] = text
      },
      list: async (path) => filesIn(path, Object.keys(around.files ?? {})),
    },
    ...(around.fetch === undefined ? {} : { fetch: around.fetch }),
  }
  const exit = await run(argv, io, toolsOf(around))
  return { exit, stdout: out.join(''), stderr: err.join(''), written }
}

/** A folder is there when a file lies in it; the folder of the command itself always is. */
function filesIn(folder: string, paths: readonly string[]): readonly string[] | undefined {
  const prefix = folder === '.' ? './' : `${folder.replace(/\/$/, '')}/`
  const below = paths.filter((path) => path.startsWith(prefix)).map((path) => path.slice(prefix.length))
  return below.length === 0 && folder !== '.' ? undefined : below.filter((name) => !name.includes('/')).toSorted()
}

function contentOf(content: string | Uint8Array | undefined): Uint8Array {
  if (content === undefined) throw Object.assign(new Error('ENOENT'), { code: 'ENOENT' })
  return typeof content === 'string' ? new TextEncoder().encode(content) : content
}

function toolsOf({ assess, protocols = [] }: Surroundings): Tools {
  return {
    assess: async (comparison) => {
      if (assess === undefined) throw new RangeError('no engine was handed over')
      return typeof assess === 'function' ? assess(comparison) : assess
    },
    adviseSampleSize: async (request) => adviseSampleSize(request),
    checkEachRun: async (comparison) => checkEachRun(comparison),
    protocols: async () => protocols,
    readComparison: (text, readFile, options) => readComparisonFile(text, readFile, options),
    readSessionFolder: (readFile) => readSessionFolder(readFile),
    surveySessionFolder: (readFile) => surveySessionFolder(readFile),
  }
}
