/** Which part of a file is the run, where a file holds several. */
import { isObject } from './column-mapping.ts'
import { ImportError, problemOf } from './import-error.ts'

/**
 * The run in a file of several: the n-th place where the mapped headers stand, counted from left to right and then
 * downwards; or the rows that hold a value in a column.
 */
export type RunPart = { readonly number: number } | { readonly column: string; readonly value: string }

/**
 * A part as it is written: `2`, `{ "column": "Run", "value": "3" }`, or in one cell `Run = 3`.
 *
 * @throws ImportError `ERR_PART` for anything else.
 */
export function parseRunPart(value: unknown): RunPart {
  const written = typeof value === 'string' ? value.trim() : value
  const number = typeof written === 'string' && /^\d+$/.test(written) ? Number(written) : written
  if (typeof number === 'number' && Number.isInteger(number) && number >= 1) return { number }
  const { column, cell } = typeof written === 'string' ? conditionIn(written) : membersOf(written)
  if (column !== '' && cell !== '') return { column, value: cell }
  throw new ImportError(
    problemOf({
      code: 'ERR_PART',
      detail: `${JSON.stringify(value)} names no part of a file.`,
      fix: 'Write 2 for the second run of the file, or Run = 3 for the rows with 3 in the column "Run".',
    }),
  )
}

interface Condition {
  readonly column: string
  readonly cell: string
}

function conditionIn(text: string): Condition {
  const [column = '', ...cell] = text.split('=')
  return { column: column.trim(), cell: cell.join('=').trim() }
}

function membersOf(value: unknown): Condition {
  if (!isObject(value) || Object.keys(value).some((key) => key !== 'column' && key !== 'value')) {
    return { column: '', cell: '' }
  }
  const { column, value: cell } = value
  return {
    column: typeof column === 'string' ? column.trim() : '',
    cell: typeof cell === 'string' || typeof cell === 'number' ? String(cell).trim() : '',
  }
}
