/** How a CSV file separates its cells and writes its numbers, told from the file itself. */
import { ImportError, problemOf } from './import-error.ts'
import { numberOf } from './number.ts'
import { headerIndex, type Row, tokenise } from './rows.ts'

/** Marks between cells. */
export const delimiters = [';', '\t', ',', '|'] as const

/** A mark between cells. */
export type Delimiter = (typeof delimiters)[number]

/** How a CSV file is written. */
export interface Dialect {
  /** Mark between cells. */
  readonly delimiter: Delimiter
  /** Mark before the fraction. */
  readonly decimal: '.' | ','
  /** Lines that begin with it are skipped. */
  readonly comment: string
}

/** Comment mark unless told otherwise. */
const COMMENT = '#'

/** Lines that are looked at. */
const LOOKED_AT = 100

/** Whole part of up to three digits without a leading zero, comma, three digits: a fraction, or thousands. */
const GROUPED = /^[+-]?[1-9]\d{0,2}(?:,\d{3})+$/

interface Candidate {
  readonly dialect: Dialect
  readonly rows: readonly Row[]
  /** Cells that are numbers. [1] */
  readonly numbers: number
  /** Share of cells, in rows that hold numbers, that are numbers. [1], 0 to 1 */
  readonly share: number
}

/** What is known of a file before it is looked at. */
export interface KnownOfFile {
  /** Headers that stand in it. */
  readonly headers: readonly string[]
  /** What was stated of its dialect; it is not questioned. */
  readonly stated: Partial<Dialect>
}

/**
 * The dialect of a file: of all pairs of delimiter and decimal mark that find the headers, the one that makes numbers of
 * the largest share of the cells, then of the most cells. Where none finds the headers, of all pairs.
 *
 * @throws ImportError `ERR_CSV_DECIMAL_AMBIGUOUS` where every comma could as well be a thousands mark.
 */
export function dialectOf(text: string, { headers, stated }: KnownOfFile): Dialect {
  const comment = stated.comment ?? COMMENT
  const head = text.split(/\r\n|\n|\r/, LOOKED_AT).join('\n')
  const candidates = delimiters
    .filter((each) => stated.delimiter === undefined || each === stated.delimiter)
    .flatMap((delimiter) => candidatesWith(head, delimiter, comment, stated.decimal))
  const finding = candidates.filter(({ rows }) => headerIndex(rows, headers) >= 0)
  const best = bestOf(finding) ?? bestOf(candidates)
  if (best === undefined) return { delimiter: stated.delimiter ?? ',', decimal: stated.decimal ?? '.', comment }
  if (stated.decimal === undefined && best.dialect.decimal === ',') refuseAmbiguous(best.rows)
  return best.dialect
}

function candidatesWith(head: string, delimiter: Delimiter, comment: string, decimal: Dialect['decimal'] | undefined) {
  const rows = rowsOf(head, delimiter, comment)
  const decimals = decimal === undefined ? (['.', ','] as const) : [decimal]
  return decimals.map((each) => candidateOf(rows, { delimiter, decimal: each, comment }))
}

/**
 * A quotation mark may be open where the lines looked at end; then quotation marks are taken as letters. Without any the
 * lines are cut as they are: the reader makes an error of every row of other width, and takes long over it.
 */
function rowsOf(head: string, delimiter: Delimiter, comment: string): readonly Row[] {
  if (!head.includes('"')) return cutRows(head, delimiter, comment)
  try {
    return tokenise(head, { delimiter, comment }).rows
  } catch {
    return tokenise(head, { delimiter, comment, isQuoted: false }).rows
  }
}

function cutRows(head: string, delimiter: Delimiter, comment: string): readonly Row[] {
  return head
    .split('\n')
    .filter((line) => line !== '' && !line.startsWith(comment))
    .map((line) => line.split(delimiter).map((cell) => cell.trim()))
}

function candidateOf(rows: readonly Row[], dialect: Dialect): Candidate {
  let numbers = 0
  let cells = 0
  for (const row of rows) {
    const filled = row.filter((cell) => cell !== '')
    const found = filled.filter((cell) => numberOf(cell, dialect.decimal) !== undefined).length
    if (found === 0) continue
    numbers += found
    cells += filled.length
  }
  return { dialect, rows, numbers, share: cells === 0 ? 0 : numbers / cells }
}

function bestOf(candidates: readonly Candidate[]): Candidate | undefined {
  return candidates.reduce<Candidate | undefined>((a, b) => (a === undefined || isBetter(b, a) ? b : a), undefined)
}

function isBetter(a: Candidate, b: Candidate): boolean {
  return a.share === b.share ? a.numbers > b.numbers : a.share > b.share
}

/** Four digits in a row without a mark show that thousands are not marked. */
function refuseAmbiguous(rows: readonly Row[]): void {
  const cells = rows.flat().filter((cell) => numberOf(cell, ',') !== undefined)
  const marked = cells.filter((cell) => cell.includes(','))
  if (cells.some((cell) => /^[+-]?\d{4,}/.test(cell)) || !marked.every((cell) => GROUPED.test(cell))) return
  throw new ImportError(
    problemOf({
      code: 'ERR_CSV_DECIMAL_AMBIGUOUS',
      detail: `"${marked[0]}" may be a fraction or a number of thousands, and so may every number with a comma in this file.`,
      fix: 'State it: "csv": { "decimal": "," } for a fraction; export without thousands marks otherwise.',
    }),
  )
}
