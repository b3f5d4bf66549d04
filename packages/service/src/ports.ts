/**
 * What the use cases ask of the outside world. A use case receives these as arguments and knows nothing of
 * databases, key files or the time of day.
 */

import type { LogReceipt, RunReceipt, SummaryPayload } from '@fairpull/sdk/contract'
import type { PublicJwk, Tile, Withdrawal } from '@fairpull/sdk/verify'
import type { LogStorage } from './log/log-storage.ts'

/** Where the time comes from. */
export interface Clock {
  /** The present moment. */
  now(): Date
}

/** Where identities come from. */
export interface Ids {
  /** A fresh UUID version 7; identities made later in one process sort later. */
  next(): string
}

/** Public keys as served under `/.well-known/jwks.json`, RFC 7517. */
export interface PublicKeySet {
  readonly keys: readonly PublicJwk[]
}

/** A signed payload, in both forms in which it is kept. */
export interface SignedPayload {
  /** Compact JWS. */
  readonly jws: string
  /** The exact bytes that were signed. */
  readonly payload: Uint8Array
}

/** Signs payloads with the key that this service holds. */
export interface Signer {
  /** RFC 7638 thumbprint of the active key; stands as `kid` in every signature. */
  readonly keyId: string
  /**
   * The signed summary of a payload, over its RFC 8785 bytes.
   *
   * @throws IntegrityError when no verifier would take the payload; nothing is signed then.
   */
  sign(payload: SummaryPayload): Promise<SignedPayload>
  /** The signed withdrawal of a summary, compact JWS. */
  signWithdrawal(withdrawal: Withdrawal): Promise<string>
  /** The signed receipt of a run, compact JWS. */
  signReceipt(receipt: RunReceipt): Promise<string>
  /** The public half of the keys of this service. */
  publicKeys(): PublicKeySet
}

/** An HTTP answer as it is kept for a later replay. */
export interface StoredResponse {
  /** HTTP status. */
  readonly status: number
  /** Header fields that belong to the answer itself, such as `location`; not those of one exchange. */
  readonly headers: Readonly<Record<string, string>>
  /** Body, byte for byte. */
  readonly body: Uint8Array
}

/** State of a stored assessment. Everything starts `private`. */
export type AssessmentStatus = 'private' | 'published' | 'withdrawn'

/** An assessment as it is kept. */
export interface StoredAssessment {
  /** Organisation that submitted it. */
  readonly tenant: string
  /** Identity of the summary, UUID version 7. */
  readonly id: string
  /** Time of signing. */
  readonly createdAt: Date
  /** Who may read it. */
  readonly status: AssessmentStatus
  /** Compact JWS, byte for byte. */
  readonly jws: string
  /** The signed payload bytes. */
  readonly payload: Uint8Array
  /** Canonical comparison with each run replaced by its digest. */
  readonly comparison: Uint8Array
  /** SHA-256 of `comparison`, 32 bytes. */
  readonly comparisonDigest: Uint8Array
  /** Its place in the log; null while it is stored and not yet logged. */
  readonly log: LogReceipt | null
  /** Since when anybody may read it, and whether with its runs; null while it is private. */
  readonly publication: { readonly at: Date; readonly withRuns: boolean } | null
  /** Its tombstone; null while it stands. */
  readonly withdrawal: StoredWithdrawal | null
}

/** The tombstone of a withdrawn summary. */
export interface StoredWithdrawal {
  readonly at: Date
  readonly reason: string
  /** Signed withdrawal, compact JWS. */
  readonly notice: string
}

/** The append-only Merkle log: C2SP tlog-tiles, RFC 9162. Every method may throw a `StoreError` or `LogStopped`. */
export interface MerkleLog {
  /**
   * Puts entries into the log. When it resolves they are durable, and their places never change. An entry that is in the
   * log already keeps its place and is not added again.
   *
   * @returns the index of each entry, in the order given.
   */
  append(entries: readonly Uint8Array[]): Promise<readonly number[]>
  /** Place and inclusion proof of an entry, up to a signed checkpoint. */
  receipt(index: number): Promise<LogReceipt>
  /** The signed checkpoint of all that is committed. */
  checkpoint(): Promise<string>
  /** Why it takes no entries until its operator has looked at it; null while it does. Never throws `LogStopped`. */
  stopped(): Promise<string | null>
  /** The bytes of a tile, or of a bundle of entries; undefined when the log is not that long. */
  tile(tile: Tile): Promise<Uint8Array | undefined>
}

/** An assessment about to be stored; its tenant stands in the issuance. */
export type NewAssessment = Omit<StoredAssessment, 'tenant' | 'status' | 'log' | 'publication' | 'withdrawal'>

/** One line of a list of assessments. */
export type AssessmentListEntry = Pick<StoredAssessment, 'id' | 'createdAt' | 'status'>

/** The bytes of one run under its digest. */
export interface StoredRun {
  /** SHA-256 run digest, 32 bytes. */
  readonly digest: Uint8Array
  /** The run, byte for byte; the store does not interpret it. */
  readonly bytes: Uint8Array
}

/** A request's claim to be carried out once. */
export interface IdempotencyClaim {
  /** Value of the `Idempotency-Key` field, scoped to the tenant. */
  readonly key: string
  /** SHA-256 over method, path with query, and body: the same key on another operation is another request. */
  readonly requestDigest: Uint8Array
  /** Until when the answer is replayed; from then on the key is free again. */
  readonly expiresAt: Date
}

/** Everything one acknowledged `201` leaves behind. */
export interface Issuance {
  readonly tenant: string
  /** The request's Idempotency-Key claim; null when it carried none. */
  readonly idempotency: IdempotencyClaim | null
  readonly assessment: NewAssessment
  /** Runs of the comparison, in any order; runs already stored are left alone. */
  readonly runs: readonly StoredRun[]
  /** The answer to this request. */
  readonly response: StoredResponse
}

/** What became of an issuance. */
export type IssueOutcome =
  /** Stored now; answer with `response`. */
  | { readonly outcome: 'issued'; readonly response: StoredResponse }
  /** The same request was carried out before; nothing was stored; answer with the earlier `response`. */
  | { readonly outcome: 'replayed'; readonly response: StoredResponse }
  /** The key belongs to another request; nothing was stored; answer 422. */
  | { readonly outcome: 'conflict' }

/** What is known about an Idempotency-Key before any work is done. */
export type IdempotencyLookup =
  | { readonly outcome: 'unused' }
  | { readonly outcome: 'replayed'; readonly response: StoredResponse }
  | { readonly outcome: 'conflict' }

/** Reads stored assessments. They are written by {@link Store.issue}, their place in the log by `place`. */
export interface Assessments {
  /** Notes the place of an assessment in the log; the first to come stays. @returns what stays. */
  place(tenant: string, id: string, log: LogReceipt): Promise<LogReceipt>
  /**
   * Lets anybody read an assessment of this tenant; with its runs once that was ever asked for. The first time stays.
   *
   * @returns the assessment as it is then, also when it was withdrawn and nothing changed; undefined when there is none.
   */
  publish(
    tenant: string,
    id: string,
    publication: { readonly at: Date; readonly withRuns: boolean },
  ): Promise<StoredAssessment | undefined>
  /** Withdraws an assessment of this tenant; the first withdrawal stays. @returns it as it is then. */
  withdraw(tenant: string, id: string, withdrawal: StoredWithdrawal): Promise<StoredAssessment | undefined>
  /** An assessment of whatever tenant; who may see what of it is for the caller to say. */
  findAnywhere(id: string): Promise<StoredAssessment | undefined>
  /** Withdrawn assessments of this tenant that hold one of these runs, in the order of their identities. */
  withdrawnWith(tenant: string, runs: readonly Uint8Array[]): Promise<readonly string[]>
  /** Assessments of any tenant that are stored and not yet logged, the oldest first; at most `limit`. */
  unlogged(limit: number): Promise<readonly Pick<StoredAssessment, 'tenant' | 'id' | 'jws'>[]>
  /** One assessment of this tenant; undefined for a missing one and for another tenant's alike. */
  find(tenant: string, id: string): Promise<StoredAssessment | undefined>
  /**
   * Assessments of this tenant, newest first.
   *
   * @param page.before return entries older than this identity; absent for the first page.
   * @param page.limit at most this many, 1 to 200.
   */
  list(
    tenant: string,
    page: { readonly before?: string; readonly limit: number },
  ): Promise<readonly AssessmentListEntry[]>
}

/** Reads stored runs. They are written by {@link Store.issue} only. */
export interface Runs {
  /** The bytes of one run of this tenant. */
  find(tenant: string, digest: Uint8Array): Promise<Uint8Array | undefined>
}

/** Reads and clears the record of answered requests. It is written by {@link Store.issue} only. */
export interface IdempotencyRecords {
  /**
   * Looks a claim up before the work is done, so that a repeated request costs one read. `unused` is no promise:
   * {@link Store.issue} decides.
   */
  find(tenant: string, claim: IdempotencyClaim, now: Date): Promise<IdempotencyLookup>
  /**
   * Deletes expired records, several replicas at once if need be.
   *
   * @param limit at most this many in one call.
   * @returns how many were deleted.
   */
  purge(now: Date, limit: number): Promise<number>
}

/** An organisation: the tenant that owns keys and assessments. */
export interface Organisation {
  /** UUID version 7; the tenant in every other record. */
  readonly id: string
  /** Name printed as submitter. */
  readonly name: string
}

/** Who a request comes from. */
export interface Caller {
  /** Identity of the organisation. */
  readonly tenant: string
  /** Name of the organisation, printed as submitter. */
  readonly organisation: string
  /** Identity of the API key. */
  readonly apiKey: string
  /** What the key permits. */
  readonly scopes: readonly string[]
}

/** An API key as it is kept: its secret only as a digest. */
export interface StoredApiKey {
  readonly tenant: string
  readonly id: string
  /** The visible part that identifies the key. */
  readonly prefix: string
  /** SHA-256 of the secret part, 32 bytes. */
  readonly secretDigest: Uint8Array
  readonly scopes: readonly string[]
  readonly createdAt: Date
  readonly revokedAt: Date | null
}

/** API keys of organisations. */
export interface ApiKeys {
  /**
   * Who this key belongs to; undefined for a malformed, unknown, wrong or revoked key alike.
   *
   * The store is asked every time, so that a revocation holds at once on all replicas. The secret is compared in
   * constant time, also when the prefix is unknown.
   */
  authenticate(text: string): Promise<Caller | undefined>
  /** Stores a further key of an existing organisation. */
  create(key: Omit<StoredApiKey, 'revokedAt'>): Promise<void>
  /** Every organisation, the oldest first. */
  organisations(): Promise<readonly Organisation[]>
  /** Adds an organisation. */
  addOrganisation(organisation: Organisation, now: Date): Promise<void>
  /** Every key of this tenant, the oldest first. */
  list(tenant: string): Promise<readonly StoredApiKey[]>
  /** Stores a further key, unless the tenant has so many active ones already. @returns whether it was stored. */
  add(key: Omit<StoredApiKey, 'revokedAt'>, mostActive: number): Promise<boolean>
  /** Revokes a key of this tenant. @returns whether there was such a key that had not been revoked. */
  revoke(tenant: string, id: string, now: Date): Promise<boolean>
  /**
   * Stores the first organisation and its key, once in the life of a store.
   *
   * @returns false, with nothing stored, when that has happened before or happens now on another replica.
   */
  createFirst(organisation: Organisation, key: Omit<StoredApiKey, 'revokedAt'>): Promise<boolean>
}

/** The record. Every method may throw a `StoreError`. */
export interface Store {
  readonly assessments: Assessments
  readonly runs: Runs
  readonly idempotency: IdempotencyRecords
  readonly apiKeys: ApiKeys
  /** Where the log is kept. */
  readonly logStorage: LogStorage
  /**
   * Stores an assessment, its runs and its answer in one transaction, exactly once per Idempotency-Key.
   *
   * When the promise resolves the outcome is durable: it survives the loss of the process and of the database
   * process. A concurrent request with the same key waits for the first and gets its answer.
   *
   * @throws StoreError with nothing stored; or with `ERR_STORE_UNAVAILABLE`, when the database went away while it
   *   committed and stayed away, with everything stored. The caller sends the same request again either way.
   */
  issue(issuance: Issuance): Promise<IssueOutcome>
  /** Notes that the service works with a trust list from now on; once per list, however many replicas start with it. */
  noteTrustList(digest: Uint8Array, at: Date): Promise<void>
  /** Resolves when the store can take a write now. @throws StoreError when it cannot. */
  check(): Promise<void>
  /** Lets running work finish, closes the connections and stops a database that this process supervises. */
  close(): Promise<void>
}
