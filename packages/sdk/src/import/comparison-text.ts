/** JSON text to a comparison, strictly. */

import type { ComparisonProblem } from '../contract/field-problem.ts'
import type { Comparison } from '../contract/index.ts'
import { readComparison } from '../contract/read-comparison.ts'
import { parseStrictJson } from '../integrity/strict-json.ts'
import { isObject } from './column-mapping.ts'
import { type ImportCode, ImportError, type ImportProblem, problemOf } from './import-error.ts'

/** What to do where the text is not JSON, by the code of the reader. */
const jsonFixes: Readonly<Record<string, string>> = {
  ERR_JSON_ENCODING: 'Save the file as UTF-8.',
  ERR_JSON_BOM: 'Save the file as UTF-8 without a byte order mark.',
  ERR_JSON_DUPLICATE_NAME: 'Keep one of the two.',
  ERR_JSON_NOT_FINITE: 'Leave out what was not recorded.',
  ERR_JSON_NUMBER_OVERFLOW: 'Leave out what was not recorded.',
}

/** What is said of a text that holds no document of the kind that was expected. */
export interface DocumentWords {
  /** Code of a text that is no JSON. */
  readonly notJson: ImportCode
  /** Code of a text that holds no object. */
  readonly noObject: ImportCode
  /** Name of the document. */
  readonly what: string
  /** How one begins. */
  readonly begin: string
}

const COMPARISON: DocumentWords = {
  notJson: 'ERR_COMPARISON_NOT_JSON',
  noObject: 'ERR_COMPARISON_REFUSED',
  what: 'a comparison',
  begin: '{ "protocol": "motorcycle-rollers@1", "runs": [ … ] }',
}

/**
 * The object that a JSON text holds.
 *
 * @throws ImportError with the code of the document, and line or pointer.
 */
export function parseJsonText(
  source: string | Uint8Array,
  { notJson, noObject, what, begin }: DocumentWords = COMPARISON,
): Readonly<Record<string, unknown>> {
  const read = parseStrictJson(source)
  if (!read.ok) {
    const { code, detail, pointer } = read.problem
    throw new ImportError(
      problemOf({
        code: notJson,
        pointer: pointer === '' ? null : pointer,
        line: code === 'ERR_JSON_SYNTAX' || code === 'ERR_JSON_TRAILING_TEXT' ? syntaxLine(source) : null,
        detail: `${detail}.`,
        fix: jsonFixes[code] ?? 'Correct the JSON; an editor with JSON support shows the place.',
      }),
    )
  }
  if (isObject(read.value)) return read.value
  throw new ImportError(
    problemOf({
      code: noObject,
      detail: `${what} is a JSON object.`,
      fix: `Begin with ${begin}.`,
    }),
  )
}

/** A comparison. @throws ImportError with every member that does not fit, its pointer and the code of the contract. */
export function parseDocument(value: unknown): Comparison {
  const read = readComparison(value)
  if (read.ok) return read.comparison
  const [first, ...others] = read.problems.map(refusedMember)
  if (first === undefined) throw new TypeError('a refusal without a problem')
  throw new ImportError(first, ...others)
}

/** The detail of the contract says the remedy, too. */
function refusedMember({ code, pointer, detail }: ComparisonProblem): ImportProblem {
  return problemOf({ code, pointer, detail, fix: '' })
}

/** The line at which the platform's own reader stops, where it tells. */
function syntaxLine(source: string | Uint8Array): number | null {
  const text = typeof source === 'string' ? source : new TextDecoder().decode(source)
  try {
    JSON.parse(text)
    return null
  } catch (error) {
    const position = error instanceof Error ? /position (\d+)/.exec(error.message)?.[1] : undefined
    return position === undefined ? null : text.slice(0, Number(position)).split('\n').length
  }
}
