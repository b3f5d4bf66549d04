/** The one place where a verification report is put together. */
import type { SummaryPayload } from '../contract/index.ts'
import type { LogEvidence } from './log-receipt.ts'
import type { Refusal } from './outcome.ts'
import type { PlanFirst, PlanFirstAnswer } from './plan-first.ts'
import type { KeyStatus } from './trust.ts'
import {
  type VerificationCode,
  type VerificationStep,
  verificationCodes,
  verificationSteps,
} from './verification-codes.ts'
import type {
  LogReport,
  RecomputationReport,
  ScopeReport,
  StepOutcome,
  StepReport,
  VerificationFailure,
  VerificationReport,
  WithdrawalReport,
} from './verification-report.ts'

/** How far a verification came; a member is absent where it did not come so far. */
export interface Progress {
  /** Why it ended early. */
  readonly failure?: Refusal<VerificationCode>
  /** Thumbprint in an accepted header. */
  readonly kid?: string
  /** Payload under an intact signature. */
  readonly payload?: SummaryPayload
  /** What trust says of the key. */
  readonly status?: KeyStatus
  /** What a receipt or a view shows of its place in the log; null where the view does not hold it. */
  readonly logged?: LogEvidence | null
  /** What the record says of a withdrawal. */
  readonly withdrawn?: WithdrawalReport
  /** What became of step 7. */
  readonly plan?: PlanFirstAnswer
  /** What became of step 8. */
  readonly recomputed?: RecomputationReport
}

/** Step 8 when no data were brought along. */
export const notAsked: RecomputationReport = { answer: 'not-asked', members: [], memberCount: 0, otherRuns: [] }

const nobodyAsked: WithdrawalReport = { status: 'not-checked', asOf: null, reason: null }

/** The report of a verification that came so far. Pure. */
export function report(progress: Progress): VerificationReport {
  const { kid = null, payload, status = 'not-reached', recomputed = notAsked } = progress
  const failure = failureOf(progress.failure)
  const isKeyRefused = failure?.step === 'key'
  const registration = isKeyRefused ? undefined : payload?.issue.registration
  return {
    verdict: failure !== null ? 'refused' : status === 'trusted' ? 'verified' : 'intact-key-unknown',
    failure,
    steps: verificationSteps.map((step) => stepReport(step, progress, failure)),
    integrity: integrityOf(payload, failure),
    key: { status, kid },
    logged: logReport(progress.logged, failure),
    withdrawn: progress.withdrawn ?? nobodyAsked,
    registration: { stated: registration ?? null, planFirst: progress.plan?.planFirst ?? 'not-reached' },
    recomputed,
    scope: payload === undefined || isKeyRefused ? null : scopeOf(payload),
    payload: failure === null ? (payload ?? null) : null,
  }
}

function failureOf(refusal: Refusal<VerificationCode> | undefined): VerificationFailure | null {
  if (refusal === undefined) return null
  const { code, pointer, detail } = refusal
  return { code, step: verificationCodes[code], pointer, sentence: detail }
}

function integrityOf(
  payload: SummaryPayload | undefined,
  failure: VerificationFailure | null,
): VerificationReport['integrity'] {
  if (payload !== undefined) return 'intact'
  return failure?.code === 'ERR_SIGNATURE_BROKEN' ? 'broken' : 'not-shown'
}

function logReport(
  logged: LogEvidence | null | undefined,
  failure: VerificationFailure | null,
): VerificationReport['logged'] {
  if (failure?.step === 'log') return { status: 'refused', index: null }
  if (logged === undefined) return { status: 'not-checked', index: null }
  return logged === null ? { status: 'not-in-log', index: null } : { status: logged.status, index: logged.index }
}

function scopeOf({ issue, result }: SummaryPayload): ScopeReport {
  const { issuer, submitter, issuedAt, supersedes } = issue
  const { standing, scope, limits } = result
  return {
    issuer,
    submitter,
    isOneParty: isSameParty(issuer, submitter),
    issuedAt,
    supersedes,
    standing,
    scope,
    limits,
  }
}

/** Names are compared without regard to case, width and blanks around them. */
function isSameParty(one: string, other: string): boolean {
  const plain = (name: string) => name.normalize('NFKC').trim().toLowerCase()
  return plain(one) === plain(other)
}

type Ending = readonly [StepOutcome, string]

function stepReport(step: VerificationStep, progress: Progress, failure: VerificationFailure | null): StepReport {
  const [outcome, sentence] = endingOf(step, progress, failure)
  return { step, outcome, sentence }
}

function endingOf(step: VerificationStep, progress: Progress, failure: VerificationFailure | null): Ending {
  if (failure?.step === step) return ['failed', failure.sentence]
  const isReached = failure === null || verificationSteps.indexOf(step) < verificationSteps.indexOf(failure.step)
  return isReached ? endings[step](progress) : ['not-reached', 'an earlier step failed']
}

/** What each step says when it did not fail. */
const endings: Readonly<Record<VerificationStep, (progress: Progress) => Ending>> = {
  envelope: () => ['passed', 'the text is a compact JWS in its canonical form'],
  header: () => ['passed', 'the header names the algorithm, the type and the key, and nothing else'],
  payload: () => ['passed', 'the payload is strict JSON in its canonical form'],
  signature: () => ['passed', 'the text is exactly what the key signed'],
  key: ({ status }) =>
    status === 'trusted'
      ? ['passed', 'the key is trusted for this issuer at the time of signing']
      : ['noted', 'nobody you trust vouches for the key'],
  log: ({ logged }) => logEndings[logReport(logged, null).status],
  registration: ({ plan = notReached }) => [planEndings[plan.planFirst], plan.sentence],
  recomputation: ({ recomputed }) => recomputationEndings[(recomputed ?? notAsked).answer],
  scope: ({ payload }) =>
    payload !== undefined && scopeOf(payload).isOneParty
      ? ['noted', 'issuer and submitter are one party: it vouches for itself']
      : ['noted', 'issuer and submitter are two parties by name'],
}

const notReached: PlanFirstAnswer = { planFirst: 'not-checkable', sentence: 'the receipts were not looked at' }

const planEndings: Readonly<Record<PlanFirst, StepOutcome>> = {
  yes: 'passed',
  no: 'noted',
  'no-plan': 'noted',
  'not-checkable': 'not-checked',
}

const logEndings: Readonly<Record<LogReport['status'], Ending>> = {
  proven: ['passed', 'a log you trust holds this summary'],
  'log-unknown': ['noted', 'the proof leads to its checkpoint, but nobody you trust vouches for the log'],
  'not-in-log': ['noted', 'the log at hand does not hold this summary'],
  refused: ['failed', 'the proof does not hold'],
  'not-checked': ['not-checked', 'no inclusion proof was checked, so the time of signing is the signer’s own word'],
}

const recomputationEndings: Readonly<Record<RecomputationReport['answer'], Ending>> = {
  'not-asked': ['not-checked', 'no data were given to recompute from'],
  'other-inputs': ['noted', 'the data given are not those that were judged, so nothing follows from them'],
  'inputs-match': ['noted', 'the data given are those that were judged; nothing was recomputed'],
  identical: ['passed', 'the same data give the same result, byte for byte'],
  'agrees-to-last-digit': ['passed', 'the same data give the same result up to the last digit of the members named'],
  'other-method-version': ['noted', 'the result comes from another version of the method, so nothing follows'],
  differs: ['failed', 'the same data and method give another result'],
}
