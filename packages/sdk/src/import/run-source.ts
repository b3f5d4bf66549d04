/** Formats that runs are read from; further open formats are added as further sources. */
import type { Channels } from '../contract/index.ts'
import type { ColumnMapping } from './column-mapping.ts'
import { readCsv } from './csv.ts'
import type { Dialect } from './dialect.ts'
import type { RunPart } from './run-part.ts'

/** What a comparison file says about the file of a run. */
export interface RunRequest {
  /** Name of the file, for messages. */
  readonly name: string
  /** Which column is which channel. */
  readonly columns: ColumnMapping
  /** What is known of the dialect of a CSV file. */
  readonly csv: Partial<Dialect>
  /** Which run, where the file holds several. */
  readonly part?: RunPart
}

/** A format that runs are read from. Pure: bytes in, channels out. */
export interface RunSource {
  /** Name of the format, for messages. */
  readonly format: string
  /** Endings of its file names, in lower case, with the dot. */
  readonly endings: readonly string[]
  /** The channels of one run. @throws ImportError naming file, line, column, and the fix. */
  readonly read: (bytes: Uint8Array, request: RunRequest) => Channels
}

/** Runs in CSV files. */
export const csvSource: RunSource = {
  format: 'CSV',
  endings: ['.csv', '.tsv', '.txt'],
  read: (bytes, request) => readCsv(bytes, request).channels,
}
