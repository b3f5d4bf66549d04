/** The door for comparisons: from a value of unknown shape to a document that can be assessed. */
import { claimProblems } from './claim-sense.ts'
import type { Comparison } from './comparison.ts'
import { comparisonSchema, MAX_RUNS } from './comparison-schema.ts'
import { conditionProblems } from './condition-limits.ts'
import { type DocumentParts, documentParts } from './document-parts.ts'
import type { ComparisonProblem } from './field-problem.ts'
import { referenceProblems } from './references.ts'
import { runProblems } from './run-figures.ts'
import { schemaProblems } from './schema-problems.ts'
import { valueAt } from './schema-walk.ts'

/** A comparison that can be read, or every reason why it cannot. */
export type ComparisonReading =
  | { readonly ok: true; readonly comparison: Comparison }
  | { readonly ok: false; readonly problems: readonly ComparisonProblem[] }

/** Most problems that are listed; one more then says how many there are beyond. */
export const MAX_PROBLEMS = 50

/**
 * The comparison in a value of unknown shape, or what makes it unreadable.
 *
 * Only what cannot be read or cannot be is refused: an unknown unit, a member too many, an id of nothing, channels of
 * unequal length, a claim that says nothing. Weak evidence is read and judged, never refused. Where the shape of one
 * part is wrong, the sense of the others is checked all the same, so that one reading names as much as it can.
 *
 * @param value a parsed JSON value; not changed. Channel arrays are passed on, not copied.
 * @returns the comparison, or at most `MAX_PROBLEMS` problems in the order of the checks and one that counts the rest.
 *   Pure; never throws.
 */
export function readComparison(value: unknown): ComparisonReading {
  const tooMany = tooManyRuns(value)
  if (tooMany !== undefined) return { ok: false, problems: [tooMany] }

  const parsed = comparisonSchema.safeParse(value)
  if (!parsed.success) {
    const { problems, more, refused } = schemaProblems(comparisonSchema, value, parsed.error.issues, MAX_PROBLEMS)
    return { ok: false, problems: capped([...problems, ...senseProblems(documentParts(value, refused))], more) }
  }
  const problems = senseProblems(documentParts(parsed.data, []))
  return problems.length === 0 ? { ok: true, comparison: parsed.data } : { ok: false, problems: capped(problems, 0) }
}

function senseProblems(parts: DocumentParts): readonly ComparisonProblem[] {
  return [
    ...referenceProblems(parts),
    ...parts.runs.flatMap(({ item, pointer }) => runProblems(item, pointer)),
    ...[...parts.mountings, ...parts.runs].flatMap(({ item, pointer }) => conditionProblems(item, pointer)),
    ...parts.claims.flatMap(({ item, pointer }) => claimProblems(item, pointer)),
  ]
}

/** Ten thousand runs are one mistake, whatever else is wrong with them. */
function tooManyRuns(value: unknown): ComparisonProblem | undefined {
  const runs = valueAt(value, ['runs'])
  if (!Array.isArray(runs) || runs.length <= MAX_RUNS) return undefined
  const detail =
    `The comparison holds ${runs.length} runs; at most ${MAX_RUNS} are read. ` +
    'Send each before/after comparison as a document of its own.'
  return { pointer: '/runs', code: 'ERR_TOO_MANY', detail }
}

function capped(problems: readonly ComparisonProblem[], unlisted: number): readonly ComparisonProblem[] {
  const more = Math.max(0, problems.length - MAX_PROBLEMS) + unlisted
  if (more === 0) return problems
  const detail = `At least ${more} more ${more === 1 ? 'member is' : 'members are'} refused. Correct the listed ones first.`
  return [...problems.slice(0, MAX_PROBLEMS), { pointer: '', code: 'ERR_MORE_PROBLEMS', detail }]
}
