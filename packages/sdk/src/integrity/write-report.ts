/** The one place where a verification report is put together. */
import type { SummaryPayload } from '../contract/index.ts'
import type { Refusal } from './outcome.ts'
import type { LogStep } from './place-in-log.ts'
import type { PlanFirst, PlanFirstAnswer } from './plan-first.ts'
import type { RecomputationStep } from './recomputation.ts'
import type { KeyStatus } from './trust.ts'
import { stepOf, type VerificationCode, type VerificationStep, verificationSteps } from './verification-codes.ts'
import type {
  Ending,
  LogReport,
  RecomputationReport,
  ScopeReport,
  StepOutcome,
  StepReport,
  VerificationFailure,
  VerificationReport,
  WithdrawalReport,
} from './verification-report.ts'

/** How far a verification came; a member is undefined where it did not come so far. */
export interface Progress {
  /** Why it ended early. */
  readonly failure: Refusal<VerificationCode> | undefined
  /** Thumbprint in an accepted header. */
  readonly kid?: string
  /** Payload under an intact signature. */
  readonly payload?: SummaryPayload
  /** What trust says of the key. */
  readonly status?: KeyStatus
  /** What became of step 6, where something of the log was brought along and did not fail. */
  readonly logged?: LogStep | undefined
  /** What the record says of a withdrawal. */
  readonly withdrawn?: WithdrawalReport | undefined
  /** What became of step 7. */
  readonly plan?: PlanFirstAnswer
  /** What became of step 8, where data were brought along. */
  readonly recomputed?: RecomputationStep | undefined
}

const notAsked: RecomputationReport = { answer: 'not-asked', members: [], memberCount: 0, otherRuns: [] }

const notLookedUp: LogReport = { status: 'not-checked', index: null }

const nobodyAsked: WithdrawalReport = { status: 'not-checked', asOf: null, reason: null }

/** The report of a verification that came so far. Pure. */
export function report(progress: Progress): VerificationReport {
  const { kid = null, payload, status = 'not-reached', logged, recomputed } = progress
  const failure = failureOf(progress.failure)
  const isKeyRefused = failure?.step === 'key'
  const registration = isKeyRefused ? undefined : payload?.issue.registration
  return {
    verdict: failure !== null ? 'refused' : status === 'trusted' ? 'verified' : 'intact-key-unknown',
    failure,
    steps: verificationSteps.map((step) => stepReport(step, progress, failure)),
    integrity: integrityOf(payload, failure),
    key: { status, kid },
    logged: failure?.step === 'log' ? { status: 'refused', index: null } : (logged?.report ?? notLookedUp),
    withdrawn: progress.withdrawn ?? nobodyAsked,
    registration: { stated: registration ?? null, planFirst: progress.plan?.planFirst ?? 'not-reached' },
    recomputed: recomputed?.report ?? notAsked,
    scope: payload === undefined || isKeyRefused ? null : scopeOf(payload),
    payload: failure === null ? (payload ?? null) : null,
  }
}

function failureOf(refusal: Refusal<VerificationCode> | undefined): VerificationFailure | null {
  if (refusal === undefined) return null
  const { code, pointer, detail } = refusal
  return { code, step: stepOf(code), pointer, sentence: detail }
}

function integrityOf(
  payload: SummaryPayload | undefined,
  failure: VerificationFailure | null,
): VerificationReport['integrity'] {
  if (payload !== undefined) return 'intact'
  return failure?.code === 'ERR_SIGNATURE_BROKEN' ? 'broken' : 'not-shown'
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

function stepReport(step: VerificationStep, progress: Progress, failure: VerificationFailure | null): StepReport {
  const [outcome, sentence] = endingOf(step, progress, failure)
  return { step, outcome, sentence }
}

function endingOf(step: VerificationStep, progress: Progress, failure: VerificationFailure | null): Ending {
  if (failure?.step === step) return ['failed', failure.sentence]
  const isReached = failure === null || verificationSteps.indexOf(step) < verificationSteps.indexOf(failure.step)
  return isReached ? endings[step](progress) : ['not-reached', 'an earlier step failed']
}

/** What each step says when it did not fail; the steps that take something brought along have their own words for it. */
const endings: Readonly<Record<VerificationStep, (progress: Progress) => Ending>> = {
  envelope: () => ['passed', 'the text is a compact JWS in its canonical form'],
  header: () => ['passed', 'the header names the algorithm, the type and the key, and nothing else'],
  payload: () => ['passed', 'the payload is strict JSON in its canonical form'],
  signature: () => ['passed', 'the text is exactly what the key signed'],
  key: ({ status }) =>
    status === 'trusted'
      ? ['passed', 'the key is trusted for this issuer at the time of signing']
      : ['noted', 'nobody you trust vouches for the key'],
  log: ({ logged }) =>
    logged?.ending ?? [
      'not-checked',
      'no inclusion proof was checked, so the time of signing is the signer’s own word',
    ],
  registration: ({ plan = notReached }) => [planEndings[plan.planFirst], plan.sentence],
  recomputation: ({ recomputed }) => recomputed?.ending ?? ['not-checked', 'no data were given to recompute from'],
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
