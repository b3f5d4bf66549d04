import type { Comparison, LogReceipt, SummaryPayload } from '@fairpull/sdk/contract'
import type {
  Caller,
  Clock,
  IdempotencyClaim,
  Ids,
  IssueOutcome,
  MerkleLog,
  SignedPayload,
  Signer,
  Store,
  StoredResponse,
} from '../ports.ts'
import type { Assessor } from './assessor.ts'
import { evidenceOf } from './evidence.ts'
import { findLogged, loggedPlace } from './log-summary.ts'
import { type WithdrawnEvidence, withdrawnEvidenceIn } from './withdrawn-evidence.ts'

/** What the assessment of a comparison needs of the world. */
export interface AssessDeps {
  readonly assessor: Assessor
  readonly signer: Signer
  readonly store: Pick<Store, 'idempotency' | 'issue' | 'assessments'>
  readonly log: MerkleLog
  readonly clock: Clock
  readonly ids: Ids
  /** Name of this service in the summary. */
  readonly issuer: string
}

/** A comparison to be assessed, from a caller who may ask for it. */
export interface AssessRequest {
  readonly caller: Caller
  /** Read by `readComparison`, under a protocol that this service has. */
  readonly comparison: Comparison
  /** The caller's key for repetitions; null when there is none. */
  readonly repetition: { readonly key: string; readonly requestDigest: Uint8Array } | null
  /** Withdrawn summary that the new one replaces; null or absent for none. */
  readonly supersedes?: string | null
  /** The answer to be given; a function of what it is told, so that repetitions get the same bytes. */
  readonly answer: (issued: IssuedBytes) => StoredResponse
}

/** An issued summary before it is written as an answer. */
export interface IssuedBytes extends SignedPayload {
  /** Identity of the summary. */
  readonly id: string
  /** Its place in the log. */
  readonly log: LogReceipt
}

/** What became of it. */
export type AssessOutcome = IssueOutcome | WithdrawnEvidence

/** How long an answer is kept for repetitions. [ms] */
const REPETITIONS_KEPT_MS = 24 * 60 * 60 * 1000

/**
 * Assesses a comparison, signs the summary and stores both: an `invalid` standing is signed like any other.
 *
 * 1. A repetition is answered with the first answer, before any work.
 * 2. The comparison is assessed, the payload made and signed. Nothing outside this process has changed so far.
 *    Runs of a withdrawn summary are not signed again unless the new one names it.
 * 3. Evidence and summary are stored in one transaction, once for all repetitions that arrive together. What is kept for
 *    repetitions is the identity of the summary: its answer is put together from it.
 * 4. What is durable is logged; what is logged is answered. Should the process end in between, the next repetition, reader
 *    or start carries on there.
 *
 * @throws StoreError from the store; see there what is stored then.
 */
export async function assessComparison(request: AssessRequest, deps: AssessDeps): Promise<AssessOutcome> {
  const { caller, comparison, supersedes = null } = request
  const now = deps.clock.now()
  const idempotency = claimOf(request, now)
  const earlier = idempotency === null ? undefined : await deps.store.idempotency.find(caller.tenant, idempotency, now)
  if (earlier !== undefined && earlier.outcome !== 'unused') return answered(earlier, request, deps)

  const result = await deps.assessor.assess(comparison)
  const { runs, ...evidence } = evidenceOf(comparison, result.inputs)
  const withdrawn = await withdrawnEvidenceIn(runs, { tenant: caller.tenant, supersedes }, deps.store)
  if (withdrawn !== undefined) return withdrawn

  const id = deps.ids.next()
  const createdAt = deps.clock.now()
  const who = { issuer: deps.issuer, submitter: caller.organisation }
  const issue = issueOf({ id, ...who, issuedAt: createdAt.toISOString(), supersedes })
  const { jws, payload } = await deps.signer.sign({ issue, result })
  const stored = await deps.store.issue({
    tenant: caller.tenant,
    idempotency,
    assessment: { id, createdAt, jws, payload, ...evidence },
    runs,
    response: keptAnswer(id),
  })
  if (stored.outcome !== 'issued') return answered(stored, request, deps)
  const log = await loggedPlace({ tenant: caller.tenant, id, jws, log: null }, deps)
  return { outcome: 'issued', response: request.answer({ id, jws, payload, log }) }
}

/** What is kept of an answer: which summary it is about. */
export function keptAnswer(id: string): StoredResponse {
  return { status: 201, headers: {}, body: new TextEncoder().encode(id) }
}

/** The answer to a repetition: the same bytes as the first. */
async function answered(
  earlier: Exclude<IssueOutcome, { readonly outcome: 'issued' }>,
  { caller, answer }: AssessRequest,
  deps: AssessDeps,
): Promise<IssueOutcome> {
  if (earlier.outcome === 'conflict') return earlier
  const found = await findLogged(caller.tenant, new TextDecoder().decode(earlier.response.body), deps)
  if (found === undefined) throw new TypeError('an answered request has its summary')
  return { outcome: 'replayed', response: answer(found) }
}

function claimOf({ repetition }: AssessRequest, now: Date): IdempotencyClaim | null {
  return repetition === null ? null : { ...repetition, expiresAt: new Date(now.getTime() + REPETITIONS_KEPT_MS) }
}

/** An issue without a plan. */
function issueOf(
  known: Pick<SummaryPayload['issue'], 'id' | 'issuer' | 'submitter' | 'issuedAt' | 'supersedes'>,
): SummaryPayload['issue'] {
  return { ...known, registration: 'none', receipts: [] }
}
