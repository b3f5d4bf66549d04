/** Step 8 of a verification. Loaded where data were brought along: other readers do not carry the digests. */
import type { Comparison, Result } from '../contract/index.ts'
import { type Refusal, refused } from './outcome.ts'
import { compareInputs, compareResults } from './recompute.ts'
import type { Ending, RecomputationReport } from './verification-report.ts'

/** What became of step 8. */
export interface RecomputationStep {
  readonly report: RecomputationReport
  readonly ending: Ending
  /** Why it failed; undefined where it did not. */
  readonly failure: Refusal<'ERR_RECOMPUTED_DIFFERS'> | undefined
}

/** Data held against the digests in a result. */
export interface GivenData {
  /** Whether they are those that were judged. */
  readonly isSame: boolean
  /** Ends the step. What `recompute` throws is passed on. */
  readonly recomputed: () => Promise<RecomputationStep>
}

/** @param recompute called only when the data are those that were judged. */
export async function givenData(
  signed: Result,
  comparison: Comparison,
  recompute: ((comparison: Comparison) => Result | Promise<Result>) | undefined,
): Promise<GivenData> {
  const { isSame, otherRuns } = await compareInputs(signed.inputs, comparison)
  const nothing = { members: [], memberCount: 0, otherRuns }
  const recomputed = async () => {
    if (!isSame) return stepOf({ ...nothing, answer: 'other-inputs' })
    if (recompute === undefined) return stepOf({ ...nothing, answer: 'inputs-match' })
    return stepOf({ ...compareResults(signed, await recompute(comparison)), otherRuns })
  }
  return { isSame, recomputed }
}

const DIFFERS = 'the same data and method give another result'

const endings: Readonly<Record<Exclude<RecomputationReport['answer'], 'not-asked'>, Ending>> = {
  'other-inputs': ['noted', 'the data given are not those that were judged, so nothing follows from them'],
  'inputs-match': ['noted', 'the data given are those that were judged; nothing was recomputed'],
  identical: ['passed', 'the same data give the same result, byte for byte'],
  'agrees-to-last-digit': ['passed', 'the same data give the same result up to the last digit of the members named'],
  'other-method-version': ['noted', 'the result comes from another version of the method, so nothing follows'],
  differs: ['failed', DIFFERS],
}

function stepOf(report: RecomputationReport & { readonly answer: keyof typeof endings }): RecomputationStep {
  const isOther = report.answer === 'differs'
  const failure = isOther ? refused('ERR_RECOMPUTED_DIFFERS', DIFFERS, '/result').problem : undefined
  return { report, ending: endings[report.answer], failure }
}
