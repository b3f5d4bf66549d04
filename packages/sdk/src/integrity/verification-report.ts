/** What a verification says: graded, step by step, never a bare yes or no. */
import type { Standing, SummaryPayload } from '../contract/index.ts'
import type { PlanFirst } from './plan-first.ts'
import type { RecomputationAnswer } from './recompute.ts'
import type { KeyStatus } from './trust.ts'
import type { VerificationCode, VerificationStep } from './verification-codes.ts'

/**
 * `verified` every step passed and the key is trusted for this issuer at the time of signing · `intact-key-unknown` the
 * text is unaltered since somebody signed it, but nobody you trust vouches for the key · `refused` a step failed.
 */
export type Verdict = 'verified' | 'intact-key-unknown' | 'refused'

/** How a step ended. `noted` says something without passing or failing; `not-checked` had nothing to check with. */
export type StepOutcome = 'passed' | 'failed' | 'noted' | 'not-checked' | 'not-reached'

/** One step of the report. */
export interface StepReport {
  /** Which step. */
  readonly step: VerificationStep
  /** How it ended. */
  readonly outcome: StepOutcome
  /** What that means, in one sentence. */
  readonly sentence: string
}

/** How one step ended, and what that means, in one sentence. */
export type Ending = readonly [StepOutcome, string]

/** The step that failed. */
export interface VerificationFailure {
  /** Stable code. */
  readonly code: VerificationCode
  /** Step that gave it. */
  readonly step: VerificationStep
  /** JSON Pointer to the member concerned; empty for the whole. */
  readonly pointer: string
  /** What is wrong, in one sentence. */
  readonly sentence: string
}

/** Who may have signed. */
export interface KeyReport {
  /** What trust says of the key at the time of signing; `not-reached` when no intact signature names one. */
  readonly status: KeyStatus | 'not-reached'
  /** Thumbprint in the header; null when the header was not read. */
  readonly kid: string | null
}

/** Whether the summary is in the log. */
export interface LogReport {
  /**
   * `proven` a trusted log holds it at this index · `log-unknown` the proof is sound, but nobody you trust vouches for the
   * log · `not-in-log` the log at hand does not hold it, so it is newer, or not logged at all · `not-checked` neither proof
   * nor log was given · `refused` the proof does not hold.
   */
  readonly status: 'proven' | 'log-unknown' | 'not-in-log' | 'not-checked' | 'refused'
  /** Index in the log; null while it is not proven. */
  readonly index: number | null
}

/** Whether the summary was withdrawn. */
export interface WithdrawalReport {
  /**
   * `withdrawn` a withdrawal by the same key or a trusted one of the issuer was shown · `not-withdrawn` the record was asked
   * and knows of none · `not-checked` nobody was asked.
   */
  readonly status: 'withdrawn' | 'not-withdrawn' | 'not-checked'
  /** When it was withdrawn, or up to when the record knew of none; null while it was not checked. */
  readonly asOf: string | null
  /** Why it was withdrawn; null when it was not. */
  readonly reason: string | null
}

/** Whether the plan came before the runs. */
export interface RegistrationReport {
  /** What the issuer states; null when the payload was not reached. */
  readonly stated: SummaryPayload['issue']['registration'] | null
  /** Whether the log shows it; `not-reached` when an earlier step failed, or this one. */
  readonly planFirst: PlanFirst | 'not-reached'
}

/** Whether the numbers come out again. */
export interface RecomputationReport {
  /**
   * `not-asked` no data given · `other-inputs` the data given are not the signed ones, nothing follows ·
   * `inputs-match` the data given are the signed ones, but were not recomputed · else the answer of `compareResults`.
   */
  readonly answer: RecomputationAnswer | 'not-asked' | 'other-inputs' | 'inputs-match'
  /** Members that are not equal, as JSON Pointers into `result`, at most 100. */
  readonly members: readonly string[]
  /** How many members are not equal. */
  readonly memberCount: number
  /** Ids of signed runs that the data given lack or hold otherwise. */
  readonly otherRuns: readonly string[]
}

/** What the summary says, of whom, and within which limits. */
export interface ScopeReport {
  /** Name of the issuing service. */
  readonly issuer: string
  /** Name of the organisation that submitted the comparison. */
  readonly submitter: string
  /** Whether issuer and submitter are one party: it then vouches for itself. */
  readonly isOneParty: boolean
  /** Time of signing, in the signer's own words. */
  readonly issuedAt: string
  /** Summary that this one replaces; null if none. */
  readonly supersedes: string | null
  /** Standing of the comparison. */
  readonly standing: Standing
  /** The limits within which a `limited` comparison holds. */
  readonly scope: readonly string[]
  /** What the result does not show. */
  readonly limits: readonly string[]
}

/** The whole report. */
export interface VerificationReport {
  /** The answer. */
  readonly verdict: Verdict
  /** The step that failed; null when none did. */
  readonly failure: VerificationFailure | null
  /** Every step, in order. */
  readonly steps: readonly StepReport[]
  /** `intact` the text is exactly what the key signed · `broken` it is not · `not-shown` the signature was not reached. */
  readonly integrity: 'intact' | 'broken' | 'not-shown'
  /** Who may have signed. */
  readonly key: KeyReport
  /** Whether it is in the log. */
  readonly logged: LogReport
  /** Whether it was withdrawn. */
  readonly withdrawn: WithdrawalReport
  /** Whether the plan came first. */
  readonly registration: RegistrationReport
  /** Whether the numbers come out again. */
  readonly recomputed: RecomputationReport
  /** What it says of whom; null unless the signature is intact and the key may have signed it. */
  readonly scope: ScopeReport | null
  /** The signed payload; null when the summary was refused. */
  readonly payload: SummaryPayload | null
}
