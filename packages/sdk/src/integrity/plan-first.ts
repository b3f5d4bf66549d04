/** Whether the log shows that a plan came before its runs. */
import type { Comparison, RegisteredPlan, RunReceipt, SummaryPayload } from '../contract/index.ts'
import type { LogView } from './log-view.ts'
import { leafHash } from './merkle-tree.ts'
import { accepted, type Outcome, refused } from './outcome.ts'
import { planLogEntry, planRunLogEntry } from './plan-log.ts'
import type { ReadReceipts } from './receipts.ts'

/** Why the log contradicts a registration. */
export type PlanFirstCode = 'ERR_PLAN_ENTRY' | 'ERR_PLAN_ORDER' | 'ERR_RECEIPT_ENTRY'

/**
 * `yes` the log holds the terms that were judged before every run · `no` the issuer itself says that they were changed after
 * the first run · `no-plan` · `not-checkable` what is at hand does not show it.
 */
export type PlanFirst = 'yes' | 'no' | 'no-plan' | 'not-checkable'

/** The answer, and what it rests on, in one sentence. */
export interface PlanFirstAnswer {
  readonly planFirst: PlanFirst
  readonly sentence: string
}

/** What the reader brings along. */
export interface PlanEvidence {
  /** The receipts of the summary, checked. */
  readonly receipts: ReadReceipts
  /** The comparison that was judged; undefined where it is not at hand. Its plan opens the commitments. */
  readonly comparison: Comparison | undefined
  /** The log; absent where it is not at hand. */
  readonly view?: LogView
}

/**
 * Whether the plan came first.
 *
 * 1. The entry of the judged version stands where the plan says. 2. The entry of every run stands where its receipt says.
 * 3. For `pre-registered`, the first is before all the others.
 *
 * @throws LogViewError when the files of the log do not show an entry.
 */
export async function planFirstOf(
  { issue }: Pick<SummaryPayload, 'issue'>,
  { receipts, comparison, view }: PlanEvidence,
): Promise<Outcome<PlanFirstAnswer, PlanFirstCode>> {
  if (issue.registration === 'none') return answer('no-plan', 'no plan was registered before the first run')
  if (receipts === null) return notCheckable('a key that signed a receipt is not at hand')
  const plan = comparison?.plan
  if (plan === undefined) return notCheckable('the receipts agree with the result; the comparison is not at hand')
  if (view === undefined) return notCheckable('the receipts agree with the result; the log is not at hand')

  const judged = judgedVersion(plan)
  const places = receipts.map(({ logIndex }) => logIndex)
  const last = Math.max(judged.logIndex, ...places)
  if (last >= view.checkpoint.size) return notCheckable(`the log at hand ends before entry ${last}`)
  if (!(await isEntryAt(view, judged.logIndex, await planLogEntry(judged.version, plan.salt)))) {
    return refused('ERR_PLAN_ENTRY', `entry ${judged.logIndex} of the log is not this plan`, '/issue/registration')
  }
  for (const [at, receipt] of receipts.entries()) {
    if (await isEntryAt(view, receipt.logIndex, await entryOf(receipt, plan.salt))) continue
    const detail = `entry ${receipt.logIndex} of the log is not this run`
    return refused('ERR_RECEIPT_ENTRY', detail, `/issue/receipts/${at}`)
  }
  if (issue.registration === 'amended') return answer('no', 'the plan was changed after its first run')
  if (judged.logIndex >= Math.min(...places)) {
    return refused('ERR_PLAN_ORDER', 'a run was logged before the plan', '/issue/registration')
  }
  if (!view.isTrusted)
    return notCheckable('the log holds the plan before every run, but nobody you trust vouches for it')
  return answer('yes', `the log holds the plan, as entry ${judged.logIndex}, before every run`)
}

/** A comparison carries the terms that were judged: those of the last version. */
function judgedVersion({ id, logIndex, terms, amendments }: RegisteredPlan) {
  const last = amendments.at(-1)
  const { version, reason } = last ?? { version: 1, reason: null }
  return { version: { plan: id, version, reason, terms }, logIndex: last?.logIndex ?? logIndex }
}

function entryOf({ plan, number, digest, mounting }: RunReceipt, salt: string): Promise<Uint8Array> {
  return planRunLogEntry({ plan, number, digest, mounting }, salt)
}

async function isEntryAt(view: LogView, index: number, entry: Uint8Array): Promise<boolean> {
  const [there, leaf] = [await view.leafAt(index), await leafHash(entry)]
  return there?.every((byte, at) => byte === leaf[at]) ?? false
}

function answer(planFirst: PlanFirst, sentence: string) {
  return accepted({ planFirst, sentence })
}

function notCheckable(sentence: string) {
  return answer('not-checkable', sentence)
}
