/** Text to rows of cells. */
import { type Options, parse } from 'csv-parse/browser/esm/sync'
import { ImportError, problemOf } from './import-error.ts'

/** The cells of one row, without surrounding blanks. */
export type Row = readonly string[]

/** The rows of a text. */
export interface Table {
  /** Rows in their order. */
  readonly rows: readonly Row[]
  /** Line a row stands on, from 1; of a row over several lines the last. Asked for only when something is wrong. */
  readonly lineOf: (index: number) => number
}

/** Marks that rows are told apart by. */
export interface Marks {
  /** Mark between cells. */
  readonly delimiter: string
  /** Lines that begin with it are skipped. */
  readonly comment: string
  /** Whether quotation marks hold a cell together. Default: yes. */
  readonly isQuoted?: boolean
}

/**
 * The rows of a text: comment lines and empty ones are left out, line ends may be mixed, cells may be quoted.
 *
 * @throws ImportError `ERR_CSV_SYNTAX` with its line where a quotation mark is not closed.
 */
export function tokenise(text: string, marks: Marks): Table {
  // Bytes, since the reader is four times as slow in taking in a string.
  const bytes = new TextEncoder().encode(text)
  const options = optionsOf(marks)
  try {
    const rows: string[][] = parse(bytes, options)
    let lines: readonly number[] | undefined
    const lineOf = (index: number) => {
      lines ??= linesOf(bytes, options)
      return lines[index] ?? 0
    }
    return { rows, lineOf }
  } catch (error) {
    throw syntaxError(error, bytes)
  }
}

/** The first row that holds every one of these headers; −1 when none does. */
export function headerIndex(rows: readonly Row[], headers: readonly string[]): number {
  const wanted = headers.map(tidy)
  return rows.findIndex((row) => {
    if (row.length < wanted.length) return false
    const cells = row.map(tidy)
    return wanted.every((header) => cells.includes(header))
  })
}

/** A header without what does not tell it from another: blanks around and inside it, composed or decomposed accents. */
export function tidy(header: string): string {
  return header.normalize('NFC').replace(/\s+/g, ' ').trim()
}

function optionsOf({ delimiter, comment, isQuoted = true }: Marks): Options {
  return {
    delimiter,
    comment,
    comment_no_infix: true,
    quote: isQuoted ? '"' : null,
    record_delimiter: ['\r\n', '\n', '\r'],
    relax_column_count: true,
    relax_quotes: true,
    skip_empty_lines: true,
    trim: true,
  }
}

/** Telling the lines takes the reader twice the time, so it is a second reading. */
function linesOf(bytes: Uint8Array, options: Options): readonly number[] {
  const records: unknown = parse(bytes, { ...options, info: true })
  return (records as readonly { readonly info: { readonly lines: number } }[]).map(({ info }) => info.lines)
}

/** The reader stops where the text ends; the fault is in the row after the last one it finished. */
function syntaxError(cause: unknown, bytes: Uint8Array): ImportError {
  const isTold = typeof cause === 'object' && cause !== null && 'bytes_records' in cause
  const finished = isTold ? bytes.subarray(0, Number(cause.bytes_records)) : undefined
  const line = finished === undefined ? null : new TextDecoder().decode(finished).split(/\r\n|\n|\r/).length
  return new ImportError(
    problemOf({
      code: 'ERR_CSV_SYNTAX',
      line,
      detail: 'a cell in quotation marks is not closed, or text follows its closing mark.',
      fix: 'Close the quotation mark, or export without quotation marks.',
    }),
  )
}
