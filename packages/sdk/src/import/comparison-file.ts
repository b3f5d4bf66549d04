/**
 * The local form of a comparison: the document as it is submitted, except that a run may name a file and its columns
 * in place of channels, so that nobody types numbers twice.
 *
 * ```json
 * { "protocol": "motorcycle-rollers@1",
 *   "columns": { "engineSpeed": { "header": "Engine speed", "unit": "rpm" },
 *                "wheelPower": { "header": "Power", "unit": "kW" } },
 *   "runs": [ { "id": "b1", "side": "baseline", "purpose": "measured", "file": "runs/b1.csv" } ] }
 * ```
 *
 * `columns` and `csv` at the top hold for every run that has none of its own. They are not part of what is submitted.
 */
import type { Comparison } from '../contract/index.ts'
import { parseDocument, parseJsonText } from './comparison-text.ts'
import { ImportError } from './import-error.ts'
import { type ReadFile, type RunFileOptions, readRunFiles } from './run-files.ts'

/**
 * A comparison out of its local form, with the channels of every named file and the digest of its bytes.
 *
 * @param text JSON text of the comparison file, or its bytes.
 * @param readFile reads a named file. Names are relative to the comparison file and never lead out of its folder.
 * @throws ImportError with every problem found: of the document with JSON Pointers, of a file with line and column.
 */
export async function readComparisonFile(
  text: string | Uint8Array,
  readFile: ReadFile,
  options: RunFileOptions = {},
): Promise<Comparison> {
  const { columns, csv, ...submitted } = parseJsonText(text)
  if (!Array.isArray(submitted.runs)) return parseDocument(submitted)

  const { runs, problems } = await readRunFiles({ columns, csv, runs: submitted.runs }, readFile, options)
  const [first, ...others] = problems
  if (first !== undefined) throw new ImportError(first, ...others)
  return parseDocument({ ...submitted, runs })
}
