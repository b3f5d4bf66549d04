/** The header of a table: where it stands, which column is which channel, and the row of units below it. */
import { units } from '../contract/index.ts'
import { didYouMean } from '../contract/nearest-name.ts'
import { type ChannelName, type Column, type ColumnMapping, isChannelName, unitsOf } from './column-mapping.ts'
import type { Dialect } from './dialect.ts'
import { ImportError, problemOf } from './import-error.ts'
import { numberOf } from './number.ts'
import { headerIndex, type Row, type Table, tidy } from './rows.ts'

/** A mapped column and where it stands. */
export interface Place {
  /** Channel it is. */
  readonly channel: ChannelName
  /** Its header and unit. */
  readonly column: Column
  /** Its index in every row. */
  readonly index: number
}

/** The header of a table. */
export interface Header {
  /** Mapped columns. */
  readonly places: readonly Place[]
  /** Cells of the header row. [1] */
  readonly width: number
  /** Index of the header row. */
  readonly at: number
  /** Index of the first row of samples. */
  readonly firstSample: number
}

/**
 * The header: the first row that holds every mapped header, so that lines before it do no harm.
 *
 * @throws ImportError where a header is missing or stands twice, or a row of units contradicts the mapping.
 */
export function headerOf(table: Table, mapping: ColumnMapping, dialect: Dialect): Header {
  const wanted = Object.entries(mapping).filter((entry): entry is [ChannelName, Column] => isChannelName(entry[0]))
  const headers = wanted.map(([, column]) => column.header)
  const at = headerIndex(table.rows, headers)
  const row = table.rows[at]
  if (row === undefined) throw headersMissing(table, headers, dialect)

  const places = wanted.map(([channel, column]) => placeOf(channel, column, row, () => table.lineOf(at)))
  const below = table.rows[at + 1]
  const hasUnits = below !== undefined && isUnitRow(below, places, dialect)
  if (hasUnits) refuseOtherUnits(below, places, () => table.lineOf(at + 1))
  return { places, at, width: row.length, firstSample: hasUnits ? at + 2 : at + 1 }
}

function placeOf(channel: ChannelName, column: Column, row: Row, line: () => number): Place {
  const header = tidy(column.header)
  const indices = row.flatMap((cell, index) => (tidy(cell) === header ? [index] : []))
  const [index = 0] = indices
  if (indices.length <= 1) return { channel, column, index }
  const numbers = indices.map((each) => each + 1).join(' and ')
  throw new ImportError(
    problemOf({
      code: 'ERR_COLUMN_DUPLICATE',
      line: line(),
      column: column.header,
      detail: `columns ${numbers} have this header, so it is open which one is ${channel}.`,
      fix: 'Give each column a header of its own, or export one run per file.',
    }),
  )
}

/** Spellings of units outside the contract that exports put below a header. */
const otherSpellings = [
  '1/min',
  'min-1',
  'u/min',
  'nm',
  'lb-ft',
  'ft-lb',
  'ft lbs',
  '°c',
  '°f',
  'kph',
  'ch',
  'cv',
  'bhp',
]

const spellings: ReadonlySet<string> = new Set([
  ...Object.values(units).flatMap((each) => each.map((unit) => unit.toLowerCase())),
  ...otherSpellings,
])

/** No mapped cell of a row of units is a number, and one at least is a unit or stands in brackets. */
function isUnitRow(row: Row, places: readonly Place[], dialect: Dialect): boolean {
  const cells = places.map(({ index }) => row[index] ?? '')
  if (cells.some((cell) => numberOf(cell, dialect.decimal) !== undefined)) return false
  return cells.some((cell) => /^[[(].*[\])]$/.test(cell) || spellings.has(cell.toLowerCase()))
}

function refuseOtherUnits(row: Row, places: readonly Place[], line: () => number): void {
  for (const { channel, column, index } of places) {
    const written = (row[index] ?? '').replace(/^[[(]|[\])]$/g, '').trim()
    const named = unitsOf(channel).find((unit) => unit.toLowerCase() === written.toLowerCase())
    if (named === undefined || named === column.unit) continue
    throw new ImportError(
      problemOf({
        code: 'ERR_COLUMN_UNIT',
        line: line(),
        column: column.header,
        detail: `the file says ${named}, the mapping says ${column.unit}.`,
        fix: `Write "unit": "${named}" for ${channel}, if the file is right.`,
      }),
    )
  }
}

function headersMissing({ rows, lineOf }: Table, headers: readonly string[], dialect: Dialect): ImportError {
  const at = likelyHeader(rows, headers)
  const found = rows[at]?.filter((cell) => cell !== '') ?? []
  const missing = headers.filter((header) => !found.some((cell) => tidy(cell) === tidy(header)))
  const listed = found.slice(0, 12).map(shortened).join(' | ')
  const [first, ...others] = (missing.length === 0 ? headers : missing).map((header) =>
    problemOf({
      code: 'ERR_COLUMN_NOT_FOUND',
      line: at < 0 ? null : lineOf(at),
      column: header,
      detail: 'no column has this header.',
      fix: `Headers found, with ${nameOf(dialect.delimiter)} between cells: ${listed}.${didYouMean(header, found)}`,
    }),
  )
  if (first === undefined) throw new TypeError('a mapping without a column')
  return new ImportError(first, ...others)
}

/** The row with most of the wanted headers; without any, the first row of the file. */
function likelyHeader(rows: readonly Row[], headers: readonly string[]): number {
  const wanted = new Set(headers.map(tidy))
  const hits = rows.map((row) => row.filter((cell) => wanted.has(tidy(cell))).length)
  return hits.indexOf(Math.max(0, ...hits.slice(0, LOOKED_AT)))
}

/** Rows among which the header is sought for a message. */
const LOOKED_AT = 1_000

function nameOf(delimiter: Dialect['delimiter']): string {
  return { ';': 'semicolons', ',': 'commas', '\t': 'tabs', '|': 'vertical bars' }[delimiter]
}

/** A cell as a message may print it. */
export function shortened(text: string): string {
  return text.length > 40 ? `${text.slice(0, 40)}…` : text
}
