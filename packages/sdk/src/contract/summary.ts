/** The signed summary and what surrounds it on the wire. */
import type { Registration } from './plan.ts'
import type { Result } from './result.ts'

/** The signed payload: who issued what and when, and the result. */
export interface SummaryPayload {
  /** Everything that is not a function of the data. */
  readonly issue: Issue
  /** The assessment, a pure function of the data. */
  readonly result: Result
}

/** Who issued a summary, for whom, and when. */
export interface Issue {
  /** Identity of the summary, UUID version 7. */
  readonly id: string
  /** Name of the issuing service. */
  readonly issuer: string
  /** Name of the organisation that submitted the comparison. */
  readonly submitter: string
  /** Time of signing, RFC 3339 in UTC. */
  readonly issuedAt: string
  /** Identity of the summary this one replaces; null if none. */
  readonly supersedes: string | null
  /** Whether the comparison was registered before its first run. */
  readonly registration: Registration
  /** Signed receipts of the runs logged under the plan, in the order of their numbers; empty without a plan. */
  readonly receipts: readonly string[]
}

/** Answer to a submitted comparison. */
export interface IssuedSummary {
  /** Identity of the summary. */
  readonly id: string
  /** The signed summary: compact JWS over the exact payload bytes. This is what is verified and published. */
  readonly summary: string
  /** Readable copy of the payload. Not signed: verification ignores it. */
  readonly payload: SummaryPayload
  /** Its place in the log; absent where a service keeps no log. Not signed by the summary's key, but proven. */
  readonly log?: LogReceipt
}

/** Proof that an entry stands in the log. */
export interface LogReceipt {
  /** Index of the entry, from 0. */
  readonly index: number
  /** Signed checkpoint of a tree that holds it (C2SP tlog-checkpoint). */
  readonly checkpoint: string
  /** Inclusion proof up to the root hash of that tree, from the leaf upwards; each hash in base64. */
  readonly proof: readonly string[]
}

/** Answer to a dry run: assessed, but neither signed nor stored. */
export interface DryRun {
  /** Always true. */
  readonly dryRun: true
  /** The assessment. */
  readonly result: Result
}
