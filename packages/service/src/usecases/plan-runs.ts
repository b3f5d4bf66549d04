/** Runs of a plan: numbered without gaps, logged, and answered with a receipt. */
import { timingSafeEqual } from 'node:crypto'
import type { FieldProblem, Mounting, Run, RunLogged } from '@fairpull/sdk/contract'
import { plannedClaims, plannedDocument, readComparison } from '@fairpull/sdk/contract/schemas'
import { type BlindExclusion, exclusionOf, protocolOf } from '@fairpull/sdk/engine'
import { mountingDigest, planRunLogEntry, runDigest } from '@fairpull/sdk/verify'
import type { NumberOutcome, PlanRunEntry, StoredMounting, StoredPlan } from '../plan-ports.ts'
import { runBytes } from './evidence.ts'
import type { PlanDeps } from './plan-deps.ts'
import { type Acknowledged, isAcknowledged, loggedRun, receiptOf, remainingOf, termsOf } from './plan-record.ts'

/** A run as it is sent. */
export interface PlanRunSubmission {
  /** The plan's challenge. */
  readonly challenge: string
  /** The run; read by the contract. */
  readonly run: Run
  /** The mounting it was made in, as far as it was described; needed once. */
  readonly mounting?: Mounting
}

/** What became of a run. */
export type LogRunOutcome =
  | { readonly outcome: 'logged'; readonly isNew: boolean; readonly answer: RunLogged }
  /** The challenge is not that of the plan. */
  | { readonly outcome: 'wrong-challenge' }
  /** The run does not fit the plan, or is none. */
  | { readonly outcome: 'refused'; readonly problems: readonly FieldProblem[] }
  | Exclude<NumberOutcome, { readonly outcome: 'numbered' }>

/**
 * Logs a run under a plan.
 *
 * 1. The challenge is that of the plan. 2. The run makes sense under it. 3. The rules of the plan look at it, blind to its
 * side. 4. It gets its number; the plan is closed when it was the last one. 5. Its entry goes into the log, and the receipt
 * that names the entry is signed and stored. A repetition gets the same number and the same receipt; one that comes after
 * a stop between 4 and 5 carries on there.
 *
 * @throws StoreError from the store.
 */
export async function logRun(
  tenant: string,
  id: string,
  submission: PlanRunSubmission,
  deps: PlanDeps,
): Promise<LogRunOutcome> {
  const plan = await deps.store.plans.find(tenant, id)
  if (plan === undefined) return { outcome: 'unknown' }
  if (!isChallengeOf(plan, submission.challenge)) return { outcome: 'wrong-challenge' }
  const problems = problemsOf(plan, submission)
  if (problems.length > 0) return { outcome: 'refused', problems }

  const { run } = submission
  const exclusion = exclusionUnder(plan, run)
  const numbered = await deps.store.plans.number(tenant, id, {
    run: run.id,
    digest: await runDigest(run),
    bytes: runBytes(run),
    mounting: await storedMounting(submission.mounting),
    receivedAt: deps.clock.now(),
    isCounted: run.purpose === 'measured' && exclusion === null,
    excludedBy: exclusion?.rule ?? null,
  })
  if (numbered.outcome !== 'numbered') return numbered
  const acknowledged = await acknowledge(numbered.plan, numbered.run, deps)
  const { plan: present, isNew } = numbered
  const answer = {
    ...loggedRun(present, acknowledged, deps.issuer),
    status: present.status,
    remaining: remainingOf(present),
  }
  return { outcome: 'logged', isNew, answer }
}

/** The rule that leaves a run out: judged on the run alone, without its side. */
export function exclusionUnder(plan: Pick<StoredPlan, 'versions'>, { side: _, ...run }: Run): BlindExclusion | null {
  const { vehicle, exclusionRules, protocol, ...terms } = termsOf(plan)
  return exclusionOf({ run, vehicle, claims: plannedClaims(terms) }, exclusionRules, protocolOf(protocol))
}

/** Entry and receipt of a run; made now where they are still missing. */
export async function acknowledge<R extends PlanRunEntry>(
  plan: StoredPlan,
  run: R,
  deps: PlanDeps,
): Promise<Acknowledged<R>> {
  if (isAcknowledged(run)) return run
  const { number, digest, mounting } = run
  const entry = await planRunLogEntry({ plan: plan.id, number, digest, mounting: mounting?.digest ?? null }, plan.salt)
  const [logIndex] = await deps.log.append([entry])
  if (logIndex === undefined) throw new TypeError('the log told no place for the entry of a run')
  const receipt = await deps.signer.signReceipt(receiptOf(plan, run, { issuer: deps.issuer, logIndex }))
  const acknowledged = await deps.store.plans.acknowledge(plan.tenant, plan.id, number, { logIndex, receipt })
  return { ...run, acknowledged }
}

function isChallengeOf({ challenge }: StoredPlan, sent: string): boolean {
  const [one, other] = [Buffer.from(challenge), Buffer.from(sent)]
  return one.length === other.length && timingSafeEqual(one, other)
}

/** What reads a comparison reads the run in the surroundings that the plan gives it. */
function problemsOf(plan: StoredPlan, { run, mounting }: PlanRunSubmission): readonly FieldProblem[] {
  const terms = termsOf(plan)
  const planned = new Set(terms.blocks.map((block) => block.mounting))
  if (run.mounting === undefined || !planned.has(run.mounting)) {
    const known = [...planned].map((each) => JSON.stringify(each)).join(', ')
    const detail = `Say which of the planned mountings the run was made in; the plan knows ${known}.`
    return [{ pointer: '/run/mounting', code: 'ERR_UNKNOWN_REFERENCE', detail }]
  }
  if (mounting !== undefined && mounting.id !== run.mounting) {
    const detail = `The mounting sent is ${JSON.stringify(mounting.id)}, the run was made in ${JSON.stringify(run.mounting)}.`
    return [{ pointer: '/mounting/id', code: 'ERR_UNKNOWN_REFERENCE', detail }]
  }
  const read = readComparison({
    ...plannedDocument(terms),
    mountings: [mounting ?? { id: run.mounting }],
    runs: [run],
  })
  if (read.ok) return []
  return read.problems.map((problem) => ({
    ...problem,
    pointer: problem.pointer.replace(/^\/runs\/0/, '/run').replace(/^\/mountings\/0/, '/mounting'),
  }))
}

async function storedMounting(mounting: Mounting | undefined): Promise<StoredMounting | null> {
  if (mounting === undefined) return null
  return { id: mounting.id, digest: await mountingDigest(mounting), bytes: Buffer.from(JSON.stringify(mounting)) }
}
