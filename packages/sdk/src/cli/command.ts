/** What every command is handed, and how it reads and writes. */
import type { Comparison, Result } from '../contract/index.ts'
import { CommandError } from './command-error.ts'
import { type CommandIo, folderOf, joined } from './io.ts'
import { createLook, type Look, type LookOptions } from './look.ts'
import { createPage, type Page } from './page.ts'
import { watched } from './progress.ts'
import type { Tools } from './tools.ts'

/** Surroundings of a command. */
export interface Surroundings {
  /** Streams, files, environment, network. */
  readonly io: CommandIo
  /** Engine and import. */
  readonly tools: Tools
}

/** Options that several commands share. */
export interface SharedOptions {
  /** Print JSON for programs. */
  readonly json?: boolean
  /** Use ASCII characters only. */
  readonly plain?: boolean
  /** Print everything. */
  readonly full?: boolean
}

/** Colours for a terminal that wants them; ASCII where another character set is named. */
export function lookOptionsOf({ stdout, env }: CommandIo, { plain = false }: SharedOptions): Required<LookOptions> {
  const isDumb = env.TERM === 'dumb'
  const locale = env.LC_ALL || env.LC_CTYPE || env.LANG || ''
  const isOtherCharset = locale !== '' && !/utf-?8/i.test(locale)
  return {
    width: stdout.columns ?? 80,
    color: stdout.isTerminal && !isDumb && (env.NO_COLOR ?? '') === '',
    plain: plain || isDumb || isOtherCharset,
  }
}

/** The look of the output of a command. */
export function lookOf(io: CommandIo, options: SharedOptions): Look {
  return createLook(lookOptionsOf(io, options))
}

/** Prints a value as JSON, indented, with a line end. */
export function printJson(io: CommandIo, value: unknown): void {
  io.stdout.write(`${JSON.stringify(value, null, 2)}\n`)
}

/** Prints a value as JSON where that was asked for, else what is said of it on a page. */
export function show(io: CommandIo, options: SharedOptions, value: unknown, say: (page: Page) => void): void {
  if (options.json === true) {
    printJson(io, value)
    return
  }
  const page = createPage(lookOf(io, options))
  say(page)
  io.stdout.write(`${page.lines.join('\n')}\n`)
}

/** Bytes of a file that was named on the command line. @throws CommandError when it cannot be read. */
export async function readInput(io: CommandIo, path: string, next: string): Promise<Uint8Array> {
  try {
    return await io.files.read(path)
  } catch (cause) {
    throw new CommandError(
      'input',
      `${path === '-' ? 'Standard input' : path} cannot be read: ${reasonOf(cause)}.`,
      next,
      cause,
    )
  }
}

/** A comparison: a session folder, or a comparison file with the runs it names, read from beside it. */
export async function readComparison(around: Surroundings, path: string, next: string): Promise<Comparison> {
  const { io, tools } = around
  return watched(io, async (step) => {
    const reading = (folder: string) => (name: string) => {
      step(`Reading ${joined(folder, name)}`)
      return readIn(io, folder, name)
    }
    if ((await io.files.list(path)) !== undefined) return tools.readSessionFolder(reading(path))
    const text = await readInput(io, path, next)
    return tools.readComparison(text, reading(folderOf(path)))
  })
}

/** Values beyond which the engine may take longer than a second. [1] */
const MANY_VALUES = 1_000_000

/** The result of the engine in this process; a long computation is announced, since nothing can be said during it. */
export function assessHere({ io, tools }: Surroundings, comparison: Comparison): Promise<Result> {
  const { runs } = comparison
  const values = runs
    .flatMap(({ channels }) => Object.values(channels ?? {}))
    .reduce((sum, each) => sum + countOf(each), 0)
  if (values > MANY_VALUES) io.stderr.write(`Assessing ${runs.length} runs with ${values} values …\n`)
  return tools.assess(comparison)
}

function countOf({ values, base64 }: { readonly values?: readonly number[]; readonly base64?: string }): number {
  return values?.length ?? ((base64?.length ?? 0) * 3) / 32
}

/** Bytes of a file in a folder; a rejection says in words why there are none. */
export async function readIn(io: CommandIo, folder: string, name: string): Promise<Uint8Array> {
  try {
    return await io.files.read(joined(folder, name))
  } catch (cause) {
    throw new Error(reasonOf(cause), { cause })
  }
}

/** A system error in words. */
export function reasonOf(cause: unknown): string {
  const code = typeof cause === 'object' && cause !== null && 'code' in cause ? cause.code : undefined
  if (code === 'ENOENT') return 'there is no such file'
  if (code === 'EISDIR') return 'it is a folder'
  if (code === 'EACCES' || code === 'EPERM') return 'access is denied'
  return cause instanceof Error ? cause.message : String(cause)
}
