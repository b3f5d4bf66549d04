/** One run out of a CSV file. */
import type { Channels } from '../contract/index.ts'
import type { ColumnMapping } from './column-mapping.ts'
import { channelsIn } from './columns.ts'
import { type Dialect, dialectOf } from './dialect.ts'
import { ImportError } from './import-error.ts'
import { tokenise } from './rows.ts'
import type { RunPart } from './run-part.ts'
import { decodeText, type TextEncoding } from './text.ts'

/** How to read a CSV file. */
export interface CsvOptions {
  /** Name of the file, for messages. */
  readonly name: string
  /** Which column is which channel. */
  readonly columns: ColumnMapping
  /** What is known of its dialect; the rest is told from the file. */
  readonly csv?: Partial<Dialect>
  /** Which run, where the file holds several. */
  readonly part?: RunPart
}

/** What a CSV file held. */
export interface CsvRun {
  /** The mapped columns. */
  readonly channels: Channels
  /** Dialect the file was read in. */
  readonly dialect: Dialect
  /** Encoding the file was read in. */
  readonly encoding: TextEncoding
}

/**
 * The channels of one run in a CSV file.
 *
 * Delimiter, decimal mark and encoding are told from the file; columns only by their mapping. Lines before the header,
 * comment lines and a row of units are read over. A file may hold several runs, side by side or below each other.
 *
 * @throws ImportError naming file, line, column, and the fix.
 */
export function readCsv(bytes: Uint8Array, options: CsvOptions): CsvRun {
  try {
    const { text, encoding } = decodeText(bytes)
    const headers = Object.values(options.columns).map(({ header }) => header)
    const dialect = dialectOf(text, { headers, stated: options.csv ?? {} })
    const { columns, part } = options
    const reading = { columns, dialect, ...(part === undefined ? {} : { part }) }
    return { channels: channelsIn(tokenise(text, dialect), reading), dialect, encoding }
  } catch (error) {
    if (!(error instanceof ImportError)) throw error
    throw error.mapped((problem) => ({ ...problem, file: options.name }))
  }
}
