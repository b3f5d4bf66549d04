/**
 * The local form of a study: the document as it is submitted, except that a run may name a file and its columns in place
 * of channels, as in the local form of a comparison.
 */
import type { Study } from '../contract/index.ts'
import { readStudy } from '../contract/read-study.ts'
import { type DocumentWords, parseJsonText } from './comparison-text.ts'
import { ImportError, problemOf } from './import-error.ts'
import { type ReadFile, type RunFileOptions, readRunFiles } from './run-files.ts'

const STUDY: DocumentWords = {
  notJson: 'ERR_STUDY_NOT_JSON',
  noObject: 'ERR_STUDY_REFUSED',
  what: 'a study',
  begin: '{ "protocol": "motorcycle-rollers@1", "facility": { … }, "vehicle": { … }, … }',
}

/**
 * A study out of its local form, with the channels of every named file and the digest of its bytes.
 *
 * @param text JSON text of the study file, or its bytes.
 * @param readFile reads a named file. Names are relative to the study file and never lead out of its folder.
 * @throws ImportError with every problem found: of the document with JSON Pointers, of a file with line and column.
 */
export async function readStudyFile(
  text: string | Uint8Array,
  readFile: ReadFile,
  options: RunFileOptions = {},
): Promise<Study> {
  const { columns, csv, ...submitted } = parseJsonText(text, STUDY)
  if (!Array.isArray(submitted.runs)) return parseStudy(submitted)

  const { runs, problems } = await readRunFiles({ columns, csv, runs: submitted.runs }, readFile, options)
  const [first, ...others] = problems
  if (first !== undefined) throw new ImportError(first, ...others)
  return parseStudy({ ...submitted, runs })
}

/** A study. @throws ImportError with every member that does not fit, its pointer and the code of the contract. */
export function parseStudy(value: unknown): Study {
  const read = readStudy(value)
  if (read.ok) return read.study
  const [first, ...others] = read.problems.map(({ code, pointer, detail }) =>
    problemOf({ code, pointer, detail, fix: '' }),
  )
  if (first === undefined) throw new TypeError('a refusal without a problem')
  throw new ImportError(first, ...others)
}
