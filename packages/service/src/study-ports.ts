/** What the use cases of repeatability studies ask of the outside world. */
import type { IdempotencyClaim, IssueOutcome, StoredResponse } from './ports.ts'

/** A study as it is kept. */
export interface StoredStudy {
  readonly tenant: string
  /** UUID version 7. */
  readonly id: string
  readonly createdAt: Date
  /** The facility, in its own words. */
  readonly facility: string
  /** The study as it was submitted, JSON with its channels in base64. */
  readonly study: Uint8Array
  /** What it shows, JSON. */
  readonly result: Uint8Array
}

/** A study without what it was made from. */
export type StudyEntry = Omit<StoredStudy, 'study'>

/** Studies. Every method may throw a `StoreError`. */
export interface Studies {
  /** Stores a study and its answer, once per Idempotency-Key. */
  register(registration: {
    readonly tenant: string
    readonly idempotency: IdempotencyClaim | null
    readonly study: Omit<StoredStudy, 'tenant'>
    readonly response: StoredResponse
  }): Promise<IssueOutcome>
  /** One study of this tenant; undefined for a missing one and for another tenant's alike. */
  find(tenant: string, id: string): Promise<StudyEntry | undefined>
  /** Studies of this tenant, newest first; of one facility where it is named. */
  list(
    tenant: string,
    page: { readonly before?: string; readonly limit: number; readonly facility?: string },
  ): Promise<readonly StudyEntry[]>
}
