/** The door for sample sizes: from a value of unknown shape to a question that can be answered. */
import type { ComparisonProblem } from './field-problem.ts'
import type { SampleSizeRequest } from './sample-size.ts'
import { sampleSizeRequestSchema } from './sample-size-schema.ts'
import { schemaProblems } from './schema-problems.ts'

/** A question that can be answered, or every reason why it cannot. */
export type SampleSizeReading =
  | { readonly ok: true; readonly request: SampleSizeRequest }
  | { readonly ok: false; readonly problems: readonly ComparisonProblem[] }

/** Most problems that are listed. */
const MOST_PROBLEMS = 50

/**
 * The question in a value of unknown shape, or what makes it unreadable.
 *
 * @param value a parsed JSON value; not changed.
 * @returns the question, or its problems with JSON Pointers into it. Pure; never throws.
 */
export function readSampleSize(value: unknown): SampleSizeReading {
  const parsed = sampleSizeRequestSchema.safeParse(value)
  if (parsed.success) return { ok: true, request: parsed.data }
  const { problems } = schemaProblems(sampleSizeRequestSchema, value, parsed.error.issues, MOST_PROBLEMS)
  return { ok: false, problems }
}
