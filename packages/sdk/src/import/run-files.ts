/** The runs of a local document with the channels of the files they name. */
import type { Channels, Source } from '../contract/index.ts'
import { isObject, parseColumnMapping } from './column-mapping.ts'
import { parseDialect } from './dialect-written.ts'
import { ImportError, type ImportProblem, problemOf, refusal } from './import-error.ts'
import { parseRunPart } from './run-part.ts'
import { csvSource, type RunSource } from './run-source.ts'

/** Reads a file that a comparison names; rejects when there is none. */
export type ReadFile = (name: string) => Promise<Uint8Array>

/** Options of reading the files of runs. */
export interface RunFileOptions {
  /** Formats that runs are read from. Default: CSV. */
  readonly sources?: readonly RunSource[]
}

/** A document whose runs may name files and columns in place of channels. */
export type LocalDocument = Readonly<Record<string, unknown>>

/** Runs as they are submitted. */
export interface RunsRead {
  /** One entry per run; of one that could not be read what its line says, without channels. */
  readonly runs: readonly unknown[]
  /** What is wrong with files and mappings, with JSON Pointers into the document. */
  readonly problems: readonly ImportProblem[]
  /** Indexes of the runs that could not be read. */
  readonly unread: readonly number[]
}

interface Reading {
  readonly readFile: ReadFile
  readonly sources: readonly RunSource[]
  readonly document: LocalDocument
}

/**
 * The runs of a local document, each with the channels of its file and the digest of its bytes.
 *
 * `columns` and `csv` of the document hold for every run that has none of its own. A file that several runs name is
 * read once.
 */
export async function readRunFiles(
  document: LocalDocument & { readonly runs: readonly unknown[] },
  readFile: ReadFile,
  { sources = [csvSource] }: RunFileOptions = {},
): Promise<RunsRead> {
  const reading = { readFile: readingOnce(readFile), sources, document }
  const problems: ImportProblem[] = []
  const runs: unknown[] = []
  const unread: number[] = []
  for (const [index, run] of document.runs.entries()) {
    runs.push(
      await runOf(run, `/runs/${index}`, reading).catch((error) => {
        if (!(error instanceof ImportError)) throw error
        problems.push(...error.problems)
        unread.push(index)
        return withoutLocalMembers(run)
      }),
    )
  }
  return { runs, problems, unread }
}

function readingOnce(readFile: ReadFile): ReadFile {
  const read = new Map<string, Promise<Uint8Array>>()
  return (name) => {
    const bytes = read.get(name) ?? readFile(name)
    read.set(name, bytes)
    return bytes
  }
}

function withoutLocalMembers(run: unknown): unknown {
  if (!isObject(run)) return run
  const { file: _, part: __, columns: ___, csv: ____, ...submitted } = run
  return submitted
}

/** A run as it is submitted; one that names no file is that already. */
async function runOf(run: unknown, pointer: string, reading: Reading): Promise<unknown> {
  if (!isObject(run) || !('file' in run)) return run
  const { file, part, columns, csv, ...submitted } = run
  if ('channels' in run)
    throw refusal(`${pointer}/file`, 'the run has both a file and channels.', 'Keep one of the two.')
  const name = fileName(file, `${pointer}/file`)
  const source = sourceFor(name, reading.sources, `${pointer}/file`)
  const bytes = await bytesOf(name, `${pointer}/file`, reading.readFile)
  const request = {
    name,
    columns: parseColumnMapping(
      columns ?? reading.document.columns,
      columns === undefined ? '/columns' : `${pointer}/columns`,
    ),
    csv: parseDialect(csv ?? reading.document.csv, csv === undefined ? '/csv' : `${pointer}/csv`),
    ...(part === undefined ? {} : { part: placed(() => parseRunPart(part), { pointer: `${pointer}/part` }) }),
  }
  const channels: Channels = placed(() => source.read(bytes, request), { pointer })
  return { ...submitted, source: await sourceOf(name, bytes), channels }
}

/** What `read` returns; its problems are given the place, as far as they have none. */
function placed<T>(read: () => T, { pointer }: Pick<ImportProblem, 'pointer'>): T {
  try {
    return read()
  } catch (error) {
    if (!(error instanceof ImportError)) throw error
    throw error.mapped((problem) => ({ ...problem, pointer: problem.pointer ?? pointer }))
  }
}

/** A relative name with forward slashes that stays inside the folder: a document from elsewhere reads nothing else. */
function fileName(file: unknown, pointer: string): string {
  if (typeof file !== 'string' || file.trim() === '') {
    throw refusal(pointer, 'the file is not named.', 'Write "file": "runs/b1.csv".')
  }
  const name = file.replaceAll('\\', '/')
  const leadsOut = name.startsWith('/') || /^[a-z][a-z0-9+.-]*:/i.test(name) || name.split('/').includes('..')
  if (!leadsOut) return name
  throw new ImportError(
    problemOf({
      code: 'ERR_FILE_OUTSIDE_FOLDER',
      file: name,
      pointer,
      detail: 'the name leads out of the folder of the comparison.',
      fix: 'Put the file into that folder or below it, and name it from there.',
    }),
  )
}

function sourceFor(name: string, sources: readonly RunSource[], pointer: string): RunSource {
  const source = sources.find(({ endings }) => endings.some((ending) => name.toLowerCase().endsWith(ending)))
  if (source !== undefined) return source
  const formats = sources.map(({ format, endings }) => `${format} (${endings.join(', ')})`).join('; ')
  throw new ImportError(
    problemOf({
      code: 'ERR_FILE_FORMAT',
      file: name,
      pointer,
      detail: 'no format is known by this ending.',
      fix: `Export the run in one of these: ${formats}.`,
    }),
  )
}

async function bytesOf(name: string, pointer: string, readFile: ReadFile): Promise<Uint8Array<ArrayBuffer>> {
  try {
    return new Uint8Array(await readFile(name))
  } catch (cause) {
    const why = cause instanceof Error && cause.message !== '' ? ` (${cause.message})` : ''
    const error = new ImportError(
      problemOf({
        code: 'ERR_FILE_NOT_FOUND',
        file: name,
        pointer,
        detail: `the file cannot be read${why}.`,
        fix: 'Check the name, capitals included; it counts from the folder of the comparison.',
      }),
    )
    error.cause = cause
    throw error
  }
}

async function sourceOf(name: string, bytes: Uint8Array<ArrayBuffer>): Promise<Source> {
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes))
  const sha256 = Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('')
  return { name: name.split('/').at(-1) ?? name, sha256 }
}
