/** The rows and columns of one run in a table that may hold several. */

import type { ColumnMapping } from './column-mapping.ts'
import type { Dialect } from './dialect.ts'
import { type FoundColumn, type HeaderRow, headerRows, isUnitRow, type Place, refuseOtherUnits } from './header.ts'
import { ImportError, problemOf } from './import-error.ts'
import { numberOf } from './number.ts'
import { type Row, type Table, tidy } from './rows.ts'
import type { RunPart } from './run-part.ts'

/** The rows and columns of one run. */
export interface Block {
  /** Mapped columns. */
  readonly places: readonly Place[]
  /** Cells of the header row. [1] */
  readonly width: number
  /** Index of the header row in the table. */
  readonly at: number
  /** Rows of samples. */
  readonly samples: readonly Row[]
  /** Index in the table of a row of samples. */
  readonly rowOf: (sample: number) => number
}

/**
 * The run that `part` names; without it the only run of the table.
 *
 * @throws ImportError where the header is missing or stands twice, where a unit contradicts the mapping, where the table
 * holds several runs and none is named, or not the one that is named.
 */
export function blockOf(table: Table, mapping: ColumnMapping, dialect: Dialect, part: RunPart | undefined): Block {
  const headers = headerRows(table, mapping, dialect)
  const [first, second] = headers
  const abreast = runsAbreast(first, table, part)
  if (part === undefined || 'column' in part) {
    if (second !== undefined) throw severalRuns(table.lineOf(second.at), headers.length * abreast)
    const block = blockAt(table, first, { index: 0, until: table.rows.length }, dialect)
    return part === undefined ? block : rowsWith(table, first, block, part)
  }
  const header = headers[Math.floor((part.number - 1) / abreast)]
  if (header === undefined) throw noSuchPart(part.number, headers.length * abreast)
  const next = headers.find(({ at }) => at > header.at)
  const index = (part.number - 1) % abreast
  return tidyEnd(blockAt(table, header, { index, until: next?.at ?? table.rows.length }, dialect), dialect)
}

/** How many runs stand side by side: every header that stands more than once stands once for each of them. */
function runsAbreast({ found, at }: HeaderRow, table: Table, part: RunPart | undefined): number {
  const most = Math.max(...found.map(({ indices }) => indices.length))
  const odd = found.find(({ indices }) => indices.length > 1 && (part === undefined || indices.length !== most))
  if (odd === undefined && !(part !== undefined && 'column' in part && most > 1)) return most
  throw doubledHeader(odd ?? found.find(({ indices }) => indices.length > 1), table.lineOf(at), most)
}

interface Extent {
  /** Which of the runs side by side. */
  readonly index: number
  /** Index of the first row that belongs to the next run. */
  readonly until: number
}

function blockAt(table: Table, { at, cells, found }: HeaderRow, { index, until }: Extent, dialect: Dialect): Block {
  const places = found.map(({ channel, column, indices }) => ({
    channel,
    column,
    index: indices[Math.min(index, indices.length - 1)] ?? 0,
  }))
  const below = table.rows[at + 1]
  const indices = places.map((place) => place.index)
  const hasUnits = below !== undefined && isUnitRow(below, indices, dialect)
  if (hasUnits) refuseOtherUnits(below, places, () => table.lineOf(at + 1))
  const start = hasUnits ? at + 2 : at + 1
  return { places, at, width: cells.length, samples: table.rows.slice(start, until), rowOf: (sample) => start + sample }
}

/** A run that is shorter than its neighbour ends with empty cells; what announces the next run is no sample either. */
function tidyEnd(block: Block, dialect: Dialect): Block {
  const isSample = (row: Row) =>
    block.places.some(({ index }) => numberOf(row[index] ?? '', dialect.decimal) !== undefined)
  return { ...block, samples: block.samples.slice(0, block.samples.findLastIndex(isSample) + 1) }
}

function rowsWith(table: Table, header: HeaderRow, block: Block, part: Extract<RunPart, { column: string }>): Block {
  const index = header.cells.findIndex((cell) => tidy(cell) === tidy(part.column))
  if (index < 0) {
    throw partError(
      table.lineOf(header.at),
      `no column has the header "${part.column}" that tells the runs apart.`,
      'Name the column as it stands in the file.',
    )
  }
  const wanted = tidy(part.value)
  const places = block.samples.flatMap((row, sample) => (tidy(row[index] ?? '') === wanted ? [sample] : []))
  if (places.length === 0) {
    const values = [...new Set(block.samples.map((row) => tidy(row[index] ?? '')))].filter((value) => value !== '')
    const listed = values.slice(0, 10).join(', ')
    throw partError(
      table.lineOf(header.at),
      `no row has "${part.value}" in the column "${part.column}".`,
      `It holds: ${listed}${values.length > 10 ? ', …' : ''}.`,
    )
  }
  return {
    ...block,
    samples: places.map((sample) => block.samples[sample] ?? []),
    rowOf: (sample) => block.rowOf(places[sample] ?? 0),
  }
}

function partError(line: number | null, detail: string, fix: string): ImportError {
  return new ImportError(problemOf({ code: 'ERR_PART', line, detail, fix }))
}

function severalRuns(line: number, runs: number): ImportError {
  return partError(
    line,
    `the header stands here again: the file holds ${runs} runs.`,
    `Say which one this run is, "part" 1 to ${runs}; or export one run per file.`,
  )
}

function noSuchPart(number: number, runs: number): ImportError {
  const holds = runs === 1 ? 'one run' : `${runs} runs`
  return partError(null, `there is no part ${number}: the file holds ${holds}.`, `Write a part from 1 to ${runs}.`)
}

function doubledHeader(found: FoundColumn | undefined, line: number, most: number): ImportError {
  const numbers = (found?.indices ?? []).map((each) => each + 1).join(' and ')
  return new ImportError(
    problemOf({
      code: 'ERR_COLUMN_DUPLICATE',
      line,
      column: found?.column.header ?? null,
      detail: `columns ${numbers} have this header, so it is open which one is ${found?.channel}.`,
      fix: `Give each column a header of its own; if each belongs to a run of its own, say which one, "part" 1 to ${most}.`,
    }),
  )
}
