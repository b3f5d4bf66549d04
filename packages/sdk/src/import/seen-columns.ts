/** The columns of a table as they stand, without a mapping. Pure. */
import type { Dialect } from './dialect.ts'
import { isUnitRow } from './header.ts'
import { ImportError, problemOf } from './import-error.ts'
import { numberOf } from './number.ts'
import { type Row, type Table, tidy } from './rows.ts'
import { headerParts, unitSpelt } from './unit-spelling.ts'

/** A column as it stands in the file. */
export interface SeenColumn {
  /** Its header. */
  readonly header: string
  /** Unit that the file states; null where it states none. */
  readonly unit: string | null
  /** Lowest and highest number; null where it holds none. */
  readonly range: { readonly low: number; readonly high: number } | null
  /** Its numbers; a cell that holds none is NaN. */
  readonly values: readonly number[]
}

/** A table whose header was found by what stands below it. */
export interface SeenTable {
  /** Line of the header, from 1. */
  readonly line: number
  /** Rows of numbers below it. */
  readonly samples: number
  /** Its columns. */
  readonly columns: readonly SeenColumn[]
}

/** The columns of a table. @throws ImportError `ERR_NO_ROWS` where no header has numbers below it. */
export function seenTable(table: Table, dialect: Dialect): SeenTable {
  const { at, units, samples } = headerAbove(table, dialect)
  const columns = seenColumns(table.rows[at] ?? [], units, samples, dialect)
  return { line: table.lineOf(at), samples: samples.length, columns }
}

interface FoundHeader {
  readonly at: number
  readonly units: Row
  readonly samples: readonly Row[]
}

/** The header stands above the first row that holds at least two numbers and hardly anything else. */
function headerAbove({ rows, lineOf }: Table, dialect: Dialect): FoundHeader {
  const first = rows.findIndex((row) => isSample(row, dialect))
  const above = rows[first - 1]
  const isUnits =
    above !== undefined && first >= 2 && isUnitRow(above, [...above.keys()], dialect) && !isHeaderWithUnits(above)
  const at = isUnits ? first - 2 : first - 1
  if (first >= 1 && at >= 0) {
    const samples = rows.slice(first).filter((row) => isSample(row, dialect))
    return { at, units: isUnits ? (above ?? []) : [], samples }
  }
  throw new ImportError(
    problemOf({
      code: 'ERR_NO_ROWS',
      line: first < 0 ? null : lineOf(first),
      detail: first < 0 ? 'no row of numbers was found.' : 'no header stands above the first row of numbers.',
      fix: 'Export the run with a header line that names each column.',
    }),
  )
}

function isSample(row: Row, dialect: Dialect): boolean {
  const filled = row.filter((cell) => cell !== '')
  const numbers = filled.filter((cell) => numberOf(cell, dialect.decimal) !== undefined).length
  return numbers >= 2 && numbers * 2 > filled.length
}

/** `Power [kW]` names a column; `[kW]` and `kW` alone only say a unit. */
function isHeaderWithUnits(row: Row): boolean {
  return row.some((cell) => cell !== '' && unitSpelt(cell) === undefined && !/^[[(].*[\])]$/.test(cell))
}

function seenColumns(header: Row, units: Row, samples: readonly Row[], { decimal }: Dialect): readonly SeenColumn[] {
  return header.map((cell, index) => {
    const values = samples.map((row) => numberOf(row[index] ?? '', decimal) ?? Number.NaN)
    const numbers = values.filter((value) => !Number.isNaN(value))
    const low = numbers.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY)
    const high = numbers.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
    return {
      header: tidy(cell),
      unit: unitSpelt(units[index] ?? '') ?? headerParts(cell).unit ?? null,
      range: numbers.length === 0 ? null : { low, high },
      values,
    }
  })
}
