/**
 * The local form of a comparison: the document as it is submitted, except that a run may name a file and its columns
 * in place of channels, so that nobody types numbers twice.
 *
 * ```json
 * { "protocol": "motorcycle-rollers@0",
 *   "columns": { "engineSpeed": { "header": "Engine speed", "unit": "rpm" },
 *                "wheelPower": { "header": "Power", "unit": "kW" } },
 *   "runs": [ { "id": "b1", "side": "baseline", "purpose": "measured", "file": "runs/b1.csv" } ] }
 * ```
 *
 * `columns` and `csv` at the top hold for every run that has none of its own. They are not part of what is submitted.
 */
import type { Channels, Comparison, Source } from '../contract/index.ts'
import { didYouMean } from '../contract/nearest-name.ts'
import { isObject, parseColumnMapping } from './column-mapping.ts'
import { parseDocument, parseJsonText } from './comparison-text.ts'
import { type Dialect, delimiters } from './dialect.ts'
import { ImportError, type ImportProblem, problemOf } from './import-error.ts'
import { csvSource, type RunSource } from './run-source.ts'

/** Reads a file that a comparison names; rejects when there is none. */
export type ReadFile = (name: string) => Promise<Uint8Array>

/** Options of `readComparisonFile`. */
export interface ComparisonFileOptions {
  /** Formats that runs are read from. Default: CSV. */
  readonly sources?: readonly RunSource[]
}

interface Reading {
  readonly readFile: ReadFile
  readonly sources: readonly RunSource[]
  readonly document: Readonly<Record<string, unknown>>
}

/**
 * A comparison out of its local form, with the channels of every named file and the digest of its bytes.
 *
 * @param text JSON text of the comparison file, or its bytes.
 * @param readFile reads a named file. Names are relative to the comparison file and never lead out of its folder.
 * @throws ImportError with every problem found: of the document with JSON Pointers, of a file with line and column.
 */
export async function readComparisonFile(
  text: string | Uint8Array,
  readFile: ReadFile,
  options: ComparisonFileOptions = {},
): Promise<Comparison> {
  const document = parseJsonText(text)
  const { columns: _, csv: __, ...submitted } = document
  if (!Array.isArray(document.runs)) return parseDocument(submitted)

  const reading = { readFile, sources: options.sources ?? [csvSource], document }
  const problems: ImportProblem[] = []
  const runs: unknown[] = []
  for (const [index, run] of document.runs.entries()) {
    runs.push(await runOf(run, `/runs/${index}`, reading).catch((error) => collect(error, problems)))
  }
  const [first, ...others] = problems
  if (first !== undefined) throw new ImportError(first, ...others)
  return parseDocument({ ...submitted, runs })
}

function collect(error: unknown, problems: ImportProblem[]): undefined {
  if (!(error instanceof ImportError)) throw error
  problems.push(...error.problems)
}

/** A run as it is submitted; one that names no file is that already. */
async function runOf(run: unknown, pointer: string, reading: Reading): Promise<unknown> {
  if (!isObject(run) || !('file' in run)) return run
  const { file, columns, csv, ...submitted } = run
  if ('channels' in run)
    throw refusal(`${pointer}/file`, 'the run has both a file and channels.', 'Keep one of the two.')
  const name = fileName(file, `${pointer}/file`)
  const source = sourceFor(name, reading.sources, `${pointer}/file`)
  const request = {
    name,
    columns: parseColumnMapping(
      columns ?? reading.document.columns,
      columns === undefined ? '/columns' : `${pointer}/columns`,
    ),
    csv: parseDialect(csv ?? reading.document.csv, csv === undefined ? '/csv' : `${pointer}/csv`),
  }
  const bytes = await bytesOf(name, `${pointer}/file`, reading.readFile)
  const channels: Channels = source.read(bytes, request)
  return { ...submitted, source: await sourceOf(name, bytes), channels }
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
      detail: 'the name leads out of the folder of the comparison file.',
      fix: 'Put the file beside the comparison file or below it, and name it from there.',
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

function parseDialect(value: unknown, pointer: string): Partial<Dialect> {
  if (value === undefined) return {}
  if (!isObject(value))
    throw refusal(pointer, 'this is no description of a CSV file.', 'Write "csv": { "decimal": "," }.')
  for (const [key, given] of Object.entries(value)) refuseDialectMember(key, given, pointer)
  return value
}

function refuseDialectMember(key: string, given: unknown, pointer: string): void {
  const allowed: Readonly<Record<string, readonly string[]>> = { delimiter: delimiters, decimal: ['.', ','] }
  if (key === 'comment' && typeof given === 'string' && given !== '') return
  const values = Object.hasOwn(allowed, key) ? allowed[key] : undefined
  if (values?.some((each) => each === given)) return
  const known = ['delimiter', 'decimal', 'comment']
  const fix =
    values === undefined
      ? `It has ${known.join(', ')}.${didYouMean(key, known)}`
      : `Write one of ${values.map((each) => JSON.stringify(each)).join(', ')}.`
  throw refusal(`${pointer}/${key}`, `${JSON.stringify(given)} cannot be used here.`, fix)
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
        fix: 'Check the name, capitals included; it counts from the folder of the comparison file.',
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

function refusal(pointer: string, detail: string, fix: string): ImportError {
  return new ImportError(problemOf({ code: 'ERR_COMPARISON_REFUSED', pointer, detail, fix }))
}
