/** What the use cases of registered plans ask of the outside world. */
import type { FacilityRecord, PlanRuleName, PlanStatus } from '@fairpull/sdk/contract'
import type { IdempotencyClaim, IssueOutcome, NewAssessment, Store, StoredResponse, StoredRun } from './ports.ts'
import type { Studies } from './study-ports.ts'

/** One version of a plan, as it was committed to. */
export interface StoredPlanVersion {
  /** Number, from 1. */
  readonly version: number
  /** When it was logged. */
  readonly at: Date
  /** Why; null for the first. */
  readonly reason: string | null
  /** Index of its commitment in the log. */
  readonly logIndex: number
  /** Whether a run had been logged before. */
  readonly afterFirstRun: boolean
  /** The terms in their RFC 8785 form. */
  readonly terms: Uint8Array
}

/** What plans are counted by. */
export interface PlanKeys {
  /** The product, in the form in which names are compared. */
  readonly product: string
  /** The machine, by its frame number's digest, else its label, else its id. */
  readonly vehicle: string
  /** Quantity of the primary claim. */
  readonly quantity: string
}

/** A plan as it is kept. */
export interface StoredPlan {
  readonly tenant: string
  /** UUID version 7. */
  readonly id: string
  readonly createdAt: Date
  /** Name of the organisation at the time of registration. */
  readonly publisher: string
  readonly keys: PlanKeys
  readonly status: PlanStatus
  /** Secret that goes with every run. */
  readonly challenge: string
  /** Secret behind the commitments, 64 hex digits. */
  readonly salt: string
  /** Measured runs planned. */
  readonly planned: number
  /** Measured runs logged and not left out by a rule. */
  readonly counted: number
  /** Runs logged, of any purpose: the last number given. */
  readonly logged: number
  /** Every version, the first one first. */
  readonly versions: readonly StoredPlanVersion[]
  /** Identity of its summary; null while there is none. */
  readonly assessment: string | null
}

/** A plan about to be registered. */
export type NewPlan = Omit<StoredPlan, 'tenant' | 'status' | 'counted' | 'logged' | 'assessment'>

/** A run about to be numbered. */
export interface NewPlanRun {
  /** Id of the run. */
  readonly run: string
  /** Digest of the run, `sha256:…`. */
  readonly digest: string
  /** The run, byte for byte. */
  readonly bytes: Uint8Array
  /** The mounting sent with it; null when none was. */
  readonly mounting: StoredMounting | null
  readonly receivedAt: Date
  /** Whether it is a measured run that no rule leaves out. */
  readonly isCounted: boolean
  /** Rule that leaves it out; null when none does. */
  readonly excludedBy: PlanRuleName | null
}

/** A mounting as it was sent with a run. */
export interface StoredMounting {
  readonly id: string
  /** `sha256:…` */
  readonly digest: string
  /** Its JSON. */
  readonly bytes: Uint8Array
}

/** A run of a plan as it is kept, but for its bytes. */
export interface PlanRunEntry extends Omit<NewPlanRun, 'isCounted' | 'bytes'> {
  /** Number under the plan, without gaps from 1. */
  readonly number: number
  /** Its entry in the log and its receipt; null while it is numbered and not yet logged. */
  readonly acknowledged: Acknowledgement | null
}

/** A run of a plan as it is kept. */
export interface StoredPlanRun extends PlanRunEntry {
  /** The run, byte for byte. */
  readonly bytes: Uint8Array
}

/** What makes a numbered run a logged one. */
export interface Acknowledgement {
  /** Index of the entry in the log. */
  readonly logIndex: number
  /** The signed receipt. */
  readonly receipt: string
}

/** Why a plan does not take what was asked of it. */
export type PlanRefusal =
  /** This tenant has no such plan. */
  | { readonly outcome: 'unknown' }
  /** The plan is past, or not yet at, the point where this can be done. */
  | { readonly outcome: 'wrong-state'; readonly status: PlanStatus }

/** What became of a run that was to be numbered. */
export type NumberOutcome =
  /** Numbered now, or before; the same run always has the same number. */
  | { readonly outcome: 'numbered'; readonly run: PlanRunEntry; readonly isNew: boolean; readonly plan: StoredPlan }
  /** Another run has this id. */
  | { readonly outcome: 'other-run' }
  /** The mounting was described otherwise with an earlier run. */
  | { readonly outcome: 'other-mounting' }
  /** The plan holds as many runs as a comparison may. */
  | { readonly outcome: 'full' }
  | PlanRefusal

/** What became of a change of a plan. */
export type PlanOutcome = { readonly outcome: 'done'; readonly plan: StoredPlan } | PlanRefusal

/** What became of an amendment. */
export type AmendOutcome = PlanOutcome | { readonly outcome: 'overtaken' }

/** What became of the assessment of a plan. */
export type PlanIssueOutcome =
  | Extract<IssueOutcome, { readonly outcome: 'issued' }>
  /** Assessed before, under this identity. */
  | { readonly outcome: 'assessed'; readonly assessment: string }
  | PlanRefusal

/** One line of a list of plans. */
export type PlanListEntry = Pick<StoredPlan, 'id' | 'createdAt' | 'status' | 'assessment'> & {
  readonly product: string
}

/** A plan among those that could have been published in its place. */
export interface SiblingPlan {
  readonly id: string
  readonly status: PlanStatus
  readonly keys: PlanKeys
  /** Runs logged. */
  readonly logged: number
  /** Whether its summary is published. */
  readonly isPublished: boolean
}

/** Plans and their runs. Every method may throw a `StoreError`. */
export interface Plans {
  /** Stores a plan and its answer, once per Idempotency-Key. */
  register(registration: {
    readonly tenant: string
    readonly idempotency: IdempotencyClaim | null
    readonly plan: NewPlan
    readonly response: StoredResponse
  }): Promise<IssueOutcome>
  /** One plan of this tenant. */
  find(tenant: string, id: string): Promise<StoredPlan | undefined>
  /** Plans of this tenant, newest first. */
  list(tenant: string, page: { readonly before?: string; readonly limit: number }): Promise<readonly PlanListEntry[]>
  /** Every run of a plan without its bytes, in the order of the numbers. */
  entries(tenant: string, id: string): Promise<readonly PlanRunEntry[]>
  /** Every run of a plan, in the order of the numbers. */
  runs(tenant: string, id: string): Promise<readonly StoredPlanRun[]>
  /**
   * Gives a run its number, in one transaction that holds the plan: two replicas never leave a gap nor give a number twice.
   * The run that reaches the planned number closes the plan.
   */
  number(tenant: string, id: string, run: NewPlanRun): Promise<NumberOutcome>
  /** Notes entry and receipt of a run; the first to come stays. @returns what stays. */
  acknowledge(tenant: string, id: string, number: number, acknowledgement: Acknowledgement): Promise<Acknowledgement>
  /** Adds a version, if `expected` is still the last one; whether it comes after the first run is decided here. */
  amend(
    tenant: string,
    id: string,
    amendment: {
      readonly expected: number
      readonly version: Omit<StoredPlanVersion, 'afterFirstRun'>
      readonly keys: PlanKeys
      readonly planned: number
    },
  ): Promise<AmendOutcome>
  /** Ends a plan: `withdrawn` before its first run, `closed` or `abandoned` after it. A plan ended so already is left alone. */
  end(tenant: string, id: string, status: 'closed' | 'abandoned' | 'withdrawn', at: Date): Promise<PlanOutcome>
  /** Every plan of this tenant for a product, in the order of registration. */
  siblings(tenant: string, product: string): Promise<readonly SiblingPlan[]>
  /** Every plan that organisations of this name registered for a product. */
  ofPublisher(publisher: string, product: string): Promise<readonly SiblingPlan[]>
  /** Stores the summary of a closed plan, exactly once. */
  issue(
    id: string,
    issuance: {
      readonly tenant: string
      readonly assessment: NewAssessment
      readonly runs: readonly StoredRun[]
      readonly response: StoredResponse
    },
  ): Promise<PlanIssueOutcome>
}

/** The record with its plans and studies. */
export interface PlanStore extends Store {
  readonly plans: Plans
  readonly studies: Studies
}

/** Facility records that this register issued. */
export interface IssuedRecords {
  /** The record of a study of this tenant at this facility; undefined when the register issued none of this name. */
  find(tenant: string, study: string, facility: string): Promise<FacilityRecord | undefined>
}

/** Secrets that nobody can guess. */
export interface Secrets {
  /** 32 bytes as 64 hex digits. */
  next(): string
}
