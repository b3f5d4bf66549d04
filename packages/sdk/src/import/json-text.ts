/** JSON text to a value, and what a reader of the contract refuses in it, as errors of a file. */
import type { ComparisonProblem } from '../contract/field-problem.ts'
import { parseStrictJson } from '../integrity/strict-json.ts'
import { type ImportCode, ImportError, problemOf } from './import-error.ts'

/**
 * The value in a JSON text, read strictly: no member twice, nothing behind it.
 *
 * @throws ImportError with `code` where the text is no JSON.
 */
export function valueInJson(source: string | Uint8Array, code: ImportCode): unknown {
  const json = parseStrictJson(source)
  if (json.ok) return json.value
  const { detail, pointer } = json.problem
  const fix = 'Correct the JSON; an editor with JSON support shows the place.'
  throw new ImportError(problemOf({ code, pointer: pointer === '' ? null : pointer, detail: `${detail}.`, fix }))
}

/** The error that carries what a reader of the contract refused; at least one problem. */
export function refusalOf(problems: readonly ComparisonProblem[]): ImportError {
  const [first, ...others] = problems.map(({ code, pointer, detail }) => problemOf({ code, pointer, detail, fix: '' }))
  if (first === undefined) throw new TypeError('a refusal without a problem')
  return new ImportError(first, ...others)
}
