/** What is wrong with a file, where, and how to put it right. */
import type { FieldProblemCode } from '../contract/field-problem.ts'

/** Why a file was refused. Codes are stable; messages may change. */
export type ImportCode =
  /** The bytes are no text, or the text is no table. */
  | 'ERR_FILE_NOT_TEXT'
  | 'ERR_FILE_EMPTY'
  | 'ERR_FILE_NOT_FOUND'
  | 'ERR_FILE_OUTSIDE_FOLDER'
  | 'ERR_FILE_FORMAT'
  /** A quotation mark is opened and never closed, or the like. */
  | 'ERR_CSV_SYNTAX'
  /** Comma: decimal mark or thousands mark? */
  | 'ERR_CSV_DECIMAL_AMBIGUOUS'
  | 'ERR_COLUMN_NOT_FOUND'
  | 'ERR_COLUMN_DUPLICATE'
  | 'ERR_COLUMN_UNIT'
  /** The file holds several runs and none is named, or not the one that is. */
  | 'ERR_PART'
  /** The mapping of columns to channels is not of the form. */
  | 'ERR_MAPPING'
  | 'ERR_CELL_EMPTY'
  | 'ERR_CELL_NOT_A_NUMBER'
  | 'ERR_ROW_LENGTH'
  | 'ERR_NO_ROWS'
  /** The session file is not YAML, or not of the form. */
  | 'ERR_SESSION_NOT_YAML'
  | 'ERR_SESSION_REFUSED'
  /** The run sheet has a column nobody knows, or one twice, or a cell that cannot be read. */
  | 'ERR_SHEET_COLUMN'
  | 'ERR_SHEET_CELL'
  /** The comparison file is not JSON, or not of the form. */
  | 'ERR_COMPARISON_NOT_JSON'
  | 'ERR_COMPARISON_REFUSED'
  /** The plan file is not JSON. */
  | 'ERR_PLAN_NOT_JSON'
  /** The study file is not JSON, or the sessions are not of one machine and place. */
  | 'ERR_STUDY_NOT_JSON'
  | 'ERR_STUDY_REFUSED'
  /** The file of a facility record is not JSON, or holds none. */
  | 'ERR_RECORD_NOT_JSON'
  | 'ERR_NO_RECORD'

/** One thing that is wrong with a file. */
export interface ImportProblem {
  /** Stable reason; for a member of the comparison that of the contract. */
  readonly code: ImportCode | FieldProblemCode
  /** Name of the file; null for the comparison file itself. */
  readonly file: string | null
  /** Line in the file, from 1; null where it is not one line's fault. */
  readonly line: number | null
  /** Character in the line, from 1; null where the line or the column says enough. */
  readonly character: number | null
  /** Header of the column; null where it is not one column's fault. */
  readonly column: string | null
  /** JSON Pointer into the comparison file; null where it plays no part. */
  readonly pointer: string | null
  /** What is wrong, in one sentence. */
  readonly detail: string
  /** How to put it right, in one sentence; empty where the detail says it. */
  readonly fix: string
}

/** What a problem says at the least. */
export type ProblemParts = Pick<ImportProblem, 'code' | 'detail' | 'fix'> & Partial<ImportProblem>

/** A problem with every place filled in. */
export function problemOf(parts: ProblemParts): ImportProblem {
  return { file: null, line: null, character: null, column: null, pointer: null, ...parts }
}

/** Files that could not be read; every problem found is in `problems`. */
export class ImportError extends Error {
  override readonly name = 'ImportError' as const
  /** Brand: this is an error of this package, whichever copy of it. */
  readonly fairpull = true as const
  /** Stable reason of the first problem. */
  readonly code: ImportProblem['code']
  /** Everything that is wrong; at least one. */
  readonly problems: readonly ImportProblem[]

  constructor(first: ImportProblem, ...others: readonly ImportProblem[]) {
    const problems = [first, ...others]
    super(problems.map(problemText).join('\n'))
    this.code = first.code
    this.problems = problems
  }

  /** The same error with every problem changed. */
  mapped(change: (problem: ImportProblem) => ImportProblem): ImportError {
    const [first, ...others] = this.problems.map(change)
    const changed = first === undefined ? this : new ImportError(first, ...others)
    changed.cause = this.cause
    return changed
  }
}

/** A problem in two lines: place and fault, then the fix. */
export function problemText(problem: ImportProblem): string {
  const place = placeText(problem)
  const fault = `${place === '' ? '' : `${place}: `}${problem.detail}`
  return problem.fix === '' ? fault : `${fault}\n  ${problem.fix}`
}

/**
 * Where a problem is: file, line, column; the pointer where there is no line.
 *
 * @param lines said in place of the line, where a problem stands for several.
 */
export function placeText({ file, line, character, column, pointer }: ImportProblem, lines?: string): string {
  const parts = [
    file ?? '',
    lines ?? (line === null ? '' : `line ${line}`),
    character === null ? '' : `character ${character}`,
    column === null ? '' : `column "${column}"`,
    pointer === null || pointer === '' || (file !== null && line !== null) ? '' : pointer,
  ]
  return parts.filter((part) => part !== '').join(', ')
}

/** A member of a document that cannot be used. */
export function refusal(pointer: string, detail: string, fix: string): ImportError {
  return new ImportError(problemOf({ code: 'ERR_COMPARISON_REFUSED', pointer, detail, fix }))
}
