/** The header of a run: where it stands, which column is which channel, and the row of units below it. */
import { didYouMean } from '../contract/nearest-name.ts'
import { type ChannelName, type Column, type ColumnMapping, isChannelName, unitsOf } from './column-mapping.ts'
import type { Dialect } from './dialect.ts'
import { ImportError, problemOf } from './import-error.ts'
import { numberOf } from './number.ts'
import { headerIndex, type Row, type Table, tidy } from './rows.ts'
import { headerParts, unitSpelt } from './unit-spelling.ts'

/** A mapped column and where it stands. */
export interface Place {
  /** Channel it is. */
  readonly channel: ChannelName
  /** Its header and unit. */
  readonly column: Column
  /** Its index in every row. */
  readonly index: number
}

/** A row that holds every mapped header, once or several times. */
export interface HeaderRow {
  /** Index of the row. */
  readonly at: number
  /** Its cells. */
  readonly cells: Row
  /** For each mapped column the indexes at which its header stands. */
  readonly found: readonly FoundColumn[]
}

/** A mapped column and every index at which its header stands. */
export interface FoundColumn {
  readonly channel: ChannelName
  readonly column: Column
  readonly indices: readonly number[]
}

/**
 * Every row that holds all mapped headers; lines before the first one do no harm.
 *
 * @throws ImportError where no row does, or a header says another unit than the mapping.
 */
export function headerRows(
  table: Table,
  mapping: ColumnMapping,
  dialect: Dialect,
): readonly [HeaderRow, ...HeaderRow[]] {
  const wanted = Object.entries(mapping).filter((entry): entry is [ChannelName, Column] => isChannelName(entry[0]))
  const headers = wanted.map(([, column]) => column.header)
  const at = headerIndex(table.rows, headers)
  const cells = table.rows[at]
  if (cells === undefined) throw headersMissing(table, headers, dialect)

  const names = cells.map(tidy)
  const found = wanted.map(([channel, column]) => {
    const header = tidy(column.header)
    return { channel, column, indices: names.flatMap((cell, index) => (cell === header ? [index] : [])) }
  })
  for (const { channel, column } of found) {
    refuseOtherUnit(channel, column, headerParts(column.header).unit, () => table.lineOf(at))
  }
  return [{ at, cells, found }, ...repeatedBelow(table, { at, cells, found })]
}

/** A header that stands again further down begins a further run. */
function repeatedBelow({ rows }: Table, first: HeaderRow): readonly HeaderRow[] {
  const marks = first.found.flatMap(({ indices }) => indices)
  const [mark = 0] = marks
  return rows.flatMap((cells, at) => {
    if (at <= first.at || cells[mark] !== first.cells[mark]) return []
    return marks.every((index) => cells[index] === first.cells[index]) ? [{ ...first, at, cells }] : []
  })
}

/** No mapped cell of a row of units is a number, and one at least is a unit or stands in brackets. */
export function isUnitRow(row: Row, indices: readonly number[], dialect: Dialect): boolean {
  const cells = indices.map((index) => row[index] ?? '')
  if (cells.some((cell) => numberOf(cell, dialect.decimal) !== undefined)) return false
  return cells.some((cell) => /^[[(].*[\])]$/.test(cell) || unitSpelt(cell) !== undefined)
}

/** Refuses a row of units that contradicts the mapping. @throws ImportError `ERR_COLUMN_UNIT`. */
export function refuseOtherUnits(row: Row, places: readonly Place[], line: () => number): void {
  for (const { channel, column, index } of places) refuseOtherUnit(channel, column, unitSpelt(row[index] ?? ''), line)
}

function refuseOtherUnit(channel: ChannelName, column: Column, unit: string | undefined, line: () => number): void {
  if (unit === undefined || unit === column.unit || !unitsOf(channel).includes(unit)) return
  // The trade writes hp for metric horsepower, too; who states PS has looked.
  if (unit === 'hp' && column.unit === 'PS') return
  throw new ImportError(
    problemOf({
      code: 'ERR_COLUMN_UNIT',
      line: line(),
      column: column.header,
      detail: `the file says ${unit}, the mapping says ${column.unit}.`,
      fix: `Write "unit": "${unit}" for ${channel}, if the file is right.`,
    }),
  )
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

/** A delimiter in words. */
export function nameOf(delimiter: Dialect['delimiter']): string {
  return { ';': 'semicolons', ',': 'commas', '\t': 'tabs', '|': 'vertical bars' }[delimiter]
}

/** A cell as a message may print it. */
export function shortened(text: string): string {
  return text.length > 40 ? `${text.slice(0, 40)}…` : text
}
