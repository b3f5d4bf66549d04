/** Rows of cells to channels of numbers. */
import type { Channels } from '../contract/index.ts'
import { type Block, blockOf } from './block.ts'
import type { Column, ColumnMapping } from './column-mapping.ts'
import type { Dialect } from './dialect.ts'
import { shortened } from './header.ts'
import { ImportError, type ImportProblem, problemOf } from './import-error.ts'
import { numberOf } from './number.ts'
import type { Row, Table } from './rows.ts'
import type { RunPart } from './run-part.ts'

/** Bad cells that are listed; more of them are rarely news. */
const LISTED_CELLS = 5

/** What is read of a table. */
export interface Reading {
  /** Which column is which channel. */
  readonly columns: ColumnMapping
  /** How the table is written. */
  readonly dialect: Dialect
  /** Which run, where it holds several. */
  readonly part?: RunPart
}

/**
 * The channels of a run in a table.
 *
 * @throws ImportError with line, column and fix for whatever is missing, doubled, empty or not a number; an empty
 * cell is never taken as zero.
 */
export function channelsIn(table: Table, { columns, dialect, part }: Reading): Channels {
  const block = blockOf(table, columns, dialect, part)
  if (block.samples.length === 0) throw noRows(table.lineOf(block.at))
  refuseLongRows(table, block, dialect)
  return Object.fromEntries(columnsOfNumbers(table, block, dialect))
}

function refuseLongRows(table: Table, { samples, rowOf, width }: Block, dialect: Dialect): void {
  const sample = samples.findIndex((row) => filledWidth(row) > width)
  if (sample < 0) return
  throw new ImportError(
    problemOf({
      code: 'ERR_ROW_LENGTH',
      line: table.lineOf(rowOf(sample)),
      detail: `the row has ${samples[sample]?.length} cells, the header has ${width}.`,
      fix:
        dialect.delimiter === ','
          ? 'If numbers have a decimal comma, export with semicolons or tabs between the cells.'
          : 'Export again, with one cell per header.',
    }),
  )
}

/** Cells up to the last one that is filled: a delimiter at the end of a row makes no further cell. */
function filledWidth(row: Row): number {
  return row.findLastIndex((cell) => cell !== '') + 1
}

function columnsOfNumbers(table: Table, { places, samples, rowOf }: Block, dialect: Dialect) {
  const problems: ImportProblem[] = []
  const columns = places.map(({ channel, column, index }) => {
    const values = samples.map((row, sample) => {
      const cell = row[index] ?? ''
      const value = numberOf(cell, dialect.decimal)
      if (value !== undefined) return value
      if (problems.length < LISTED_CELLS) {
        problems.push(badCell(cell, table.lineOf(rowOf(sample)), column.header, dialect))
      }
      return 0
    })
    return [channel, channelOf(column, values)] as const
  })
  const [first, ...others] = problems
  if (first !== undefined) throw new ImportError(first, ...others)
  return columns
}

/** The channel of a column; what else the mapping says of it (of a mixture: where and how) goes with it. */
function channelOf(column: Column, values: readonly number[]): object {
  const { header: _, ...rest } = column
  return { ...rest, values }
}

function badCell(cell: string, line: number, column: string, { decimal, comment }: Dialect): ImportProblem {
  if (cell === '') {
    return problemOf({
      code: 'ERR_CELL_EMPTY',
      line,
      column,
      detail: 'the cell is empty.',
      fix: 'Leave out the row, or the column from the mapping; an empty cell is never taken as zero.',
    })
  }
  const [mark, other] = decimal === '.' ? ['point', ','] : ['comma', '.']
  return problemOf({
    code: 'ERR_CELL_NOT_A_NUMBER',
    line,
    column,
    detail: `${JSON.stringify(shortened(cell))} is not a number with a decimal ${mark}.`,
    fix: `Numbers have no thousands mark and no unit; a remark begins with ${comment}. If the decimal mark was taken wrongly, state "csv": { "decimal": "${other}" }.`,
  })
}

function noRows(line: number): ImportError {
  return new ImportError(
    problemOf({
      code: 'ERR_NO_ROWS',
      line,
      detail: 'no row of numbers follows the header.',
      fix: 'Export the run again, with its samples.',
    }),
  )
}
