/** The run sheet: one CSV line per run, as runs in their local form, with the place of each member. */

import { units } from '../contract/index.ts'
import { didYouMean } from '../contract/nearest-name.ts'
import { type Dialect, dialectOf } from './dialect.ts'
import { ImportError, type ImportProblem, problemOf } from './import-error.ts'
import { numberOf } from './number.ts'
import { headerIndex, type Row, type Table, tidy, tokenise } from './rows.ts'
import { type SheetColumn, sheetColumns } from './sheet-columns.ts'
import { decodeText } from './text.ts'
import { unitSpelt } from './unit-spelling.ts'

/** A run sheet that was read. */
export interface RunSheet {
  /** Runs in their local form: `file` and `part` stand beside what is submitted. */
  readonly runs: readonly Readonly<Record<string, unknown>>[]
  /** Measured runs that are left out, each under a rule. */
  readonly excluded: readonly Readonly<Record<string, unknown>>[]
  /** Line of each run, from 1. */
  readonly lines: readonly number[]
  /** Index of the run that each exclusion is of. */
  readonly excludedRuns: readonly number[]
  /** Header of the column that holds a member of a run, as far as there is one. */
  readonly headerOf: (path: string) => string | undefined
}

/** Headers without which a sheet says nothing. */
const NEEDED = ['side', 'purpose'] as const

interface UsedColumn {
  readonly column: SheetColumn
  readonly header: string
  readonly index: number
  readonly unit: string | undefined
}

/**
 * The runs of a sheet. An empty cell was not recorded, and is never zero; a line of empty cells is none.
 *
 * @param stated what is known of its dialect.
 * @throws ImportError with line, column and fix for every column nobody knows and every cell that cannot be read.
 */
export function parseRunSheet(bytes: Uint8Array, stated: Partial<Dialect> = {}): RunSheet {
  const { text } = decodeText(bytes)
  const dialect = dialectOf(text, { headers: NEEDED, stated })
  const table = tokenise(text, dialect)
  const at = headerIndex(table.rows, NEEDED)
  const header = table.rows[at]
  if (header === undefined) throw new ImportError(noHeader(table))

  const problems: ImportProblem[] = []
  const columns = usedColumns(table, at, problems)
  const rows = table.rows.flatMap((row, index) =>
    index > at && row.some((cell) => cell !== '') ? [{ row, line: table.lineOf(index) }] : [],
  )
  for (const { row, line } of rows) {
    if (row.findLastIndex((cell) => cell !== '') >= header.length) problems.push(tooLong(row, line, header.length))
  }
  const runs = rows.map(({ row, line }) => runOf(row, line, { columns, dialect, problems }))
  const [first, ...others] = problems
  if (first !== undefined) throw new ImportError(first, ...others)
  return sheetOf(
    runs,
    rows.map(({ line }) => line),
    columns,
  )
}

function sheetOf(runs: readonly Members[], lines: readonly number[], columns: readonly UsedColumn[]): RunSheet {
  const leftOut = runs.flatMap(({ excluded }, index) => (excluded === undefined ? [] : [index]))
  return {
    runs: runs.map(({ excluded: _, note: __, ...run }) => run),
    excluded: leftOut.map((index) => ({ run: runs[index]?.id, ...(runs[index]?.excluded as Members) })),
    lines,
    excludedRuns: leftOut,
    headerOf: (path) => headerFor(path, columns),
  }
}

/** The column of a member, else of what it is part of. */
function headerFor(path: string, columns: readonly UsedColumn[]): string | undefined {
  const holding = columns.filter(({ column }) => path === column.path || path.startsWith(`${column.path}/`))
  return holding.toSorted((a, b) => b.column.path.length - a.column.path.length)[0]?.header
}

function usedColumns(table: Table, at: number, problems: ImportProblem[]): readonly UsedColumn[] {
  const line = table.lineOf(at)
  const used: UsedColumn[] = []
  for (const [index, cell] of (table.rows[at] ?? []).entries()) {
    if (cell === '' && table.rows.every((row, row_) => row_ <= at || (row[index] ?? '') === '')) continue
    const column = columnOf(tidy(cell), index, line)
    if ('code' in column) problems.push(column)
    else if (used.some((each) => each.column === column.column)) problems.push(doubled(column.header, line))
    else used.push(column)
  }
  return used
}

function columnOf(header: string, index: number, line: number): UsedColumn | ImportProblem {
  const [, name = header, written] = /^(.*?)\s*(?:[[(]([^\])]*)[\])])?$/.exec(header) ?? []
  const column = sheetColumns.find((each) => each.name === name.toLowerCase())
  if (column === undefined) return unknownColumn(header, name, line)
  if (typeof column.kind === 'string') return { column, header, index, unit: undefined }
  const allowed = units[column.kind.quantity]
  const unit = written === undefined ? undefined : unitSpelt(written, column.kind.quantity)
  if (unit !== undefined) return { column, header, index, unit }
  return problemOf({
    code: 'ERR_SHEET_COLUMN',
    line,
    column: header,
    detail: written === undefined ? 'the unit is missing; there is no default.' : `"${written}" is no unit of this.`,
    fix: `Write it behind the name, as in "${column.name} [${allowed[0]}]"; units here are ${allowed.join(', ')}.`,
  })
}

interface Members {
  readonly [member: string]: unknown
}

interface Sheet {
  readonly columns: readonly UsedColumn[]
  readonly dialect: Dialect
  readonly problems: ImportProblem[]
}

function runOf(row: Row, line: number, { columns, dialect, problems }: Sheet): Members {
  const filled = new Set(columns.filter(({ index }) => (row[index] ?? '') !== '').map(({ column }) => column.path))
  const run: Record<string, unknown> = {}
  for (const used of columns) {
    const { path, of } = used.column
    if (!filled.has(path) || (of !== undefined && !filled.has(of))) continue
    const cell = row[used.index] ?? ''
    const value = cellValue(cell, used, dialect)
    if (value === undefined) problems.push(badCell(cell, used, { line, dialect }))
    else put(run, path.split('/'), value)
  }
  if (run.id === undefined && typeof run.file === 'string') run.id = idFrom(run.file, run.part)
  return run
}

/** A run without an id of its own is called as its file, without folder and ending. */
function idFrom(file: string, part: unknown): string {
  const [name = file] = file.replaceAll('\\', '/').split('/').slice(-1)
  const stem = name.replace(/\.[^.]+$/, '')
  return part === undefined ? stem : `${stem} ${part}`
}

function cellValue(cell: string, { column, unit }: UsedColumn, { decimal }: Dialect): unknown {
  const { kind } = column
  if (kind === 'text') return cell
  if (kind === 'yes-no') return { yes: true, true: true, no: false, false: false }[cell.toLowerCase()]
  const value = numberOf(cell, decimal)
  if (value === undefined || kind === 'number') return value
  if (kind === 'whole') return Number.isInteger(value) ? value : undefined
  return { value, unit }
}

/** A quantity and what belongs to it meet in one member. */
function put(run: Record<string, unknown>, [name = '', ...rest]: readonly string[], value: unknown): void {
  const here = run[name]
  const there = typeof here === 'object' && here !== null ? (here as Record<string, unknown>) : {}
  if (rest.length > 0) {
    put(there, rest, value)
    run[name] = there
  } else run[name] = typeof value === 'object' && value !== null ? { ...value, ...there } : value
}

interface CellPlace {
  readonly line: number
  readonly dialect: Dialect
}

function badCell(cell: string, { column, header }: UsedColumn, { line, dialect }: CellPlace): ImportProblem {
  const mark = dialect.decimal === '.' ? 'point' : 'comma'
  const [wanted, fix] =
    column.kind === 'yes-no'
      ? ['yes or no', 'Write yes or no.']
      : column.kind === 'whole'
        ? ['a whole number', 'Write a whole number.']
        : [`a number with a decimal ${mark}`, 'Write the number alone; its unit stands in the header.']
  return problemOf({
    code: 'ERR_SHEET_CELL',
    line,
    column: header,
    detail: `${JSON.stringify(cell.slice(0, 40))} is not ${wanted}.`,
    fix: `${fix} Leave the cell empty where nothing was recorded.`,
  })
}

function unknownColumn(header: string, name: string, line: number): ImportProblem {
  const known = sheetColumns.map((column) => column.name)
  return problemOf({
    code: 'ERR_SHEET_COLUMN',
    line,
    column: header,
    detail: header === '' ? 'a column with cells has no header.' : 'no column of a run sheet has this name.',
    fix: `Columns are ${known.join(', ')}.${didYouMean(name, known)}`,
  })
}

function doubled(header: string, line: number): ImportProblem {
  return problemOf({
    code: 'ERR_SHEET_COLUMN',
    line,
    column: header,
    detail: 'the column stands twice.',
    fix: 'Keep one of the two.',
  })
}

/** A cell too many has pushed the others aside. */
function tooLong(row: Row, line: number, width: number): ImportProblem {
  return problemOf({
    code: 'ERR_ROW_LENGTH',
    line,
    detail: `the line has ${row.length} cells, the header has ${width}.`,
    fix: 'Put quotation marks around text that holds the mark between cells, and write decimals as the sheet does.',
  })
}

function noHeader({ rows, lineOf }: Table): ImportProblem {
  return problemOf({
    code: 'ERR_SHEET_COLUMN',
    line: rows.length === 0 ? null : lineOf(0),
    detail: `no line has the headers ${NEEDED.join(' and ')}.`,
    fix: 'Begin with a header line such as "file,side,mounting,purpose"; fairpull init writes one.',
  })
}
