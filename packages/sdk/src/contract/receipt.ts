/** The record of a plan as the service answers it, and the signed receipt of a run. */
import type { Plan, PlanAmendment, PlanRuleName, Registration } from './plan.ts'

/** The signed payload of a receipt: proof that a run was logged under a plan. */
export interface RunReceipt {
  /** Name of the issuing service. */
  readonly issuer: string
  /** Identity of the plan. */
  readonly plan: string
  /** Number of the run under the plan, without gaps from 1. */
  readonly number: number
  /** Id of the run. */
  readonly run: string
  /** Digest of the run. */
  readonly digest: string
  /** SHA-256 over the RFC 8785 form of the mounting sent with it; null when none was. */
  readonly mounting: string | null
  /** Index of the run's entry in the log. */
  readonly logIndex: number
  /** When it arrived, RFC 3339 in UTC. */
  readonly receivedAt: string
}

/** Where a plan stands. */
export type PlanStatus = 'open' | 'running' | 'closed' | 'assessed' | 'abandoned' | 'withdrawn'

/** One run of a plan, as logged. */
export interface LoggedRun {
  /** Number under the plan. */
  readonly number: number
  /** Id of the run. */
  readonly run: string
  /** The signed receipt: compact JWS. */
  readonly receipt: string
  /** Readable copy of its payload. Not signed. */
  readonly payload: RunReceipt
  /** Rule of the plan under which the run is left out; null when it counts. */
  readonly excludedBy: PlanRuleName | null
}

/** Answer to a logged run. */
export interface RunLogged extends LoggedRun {
  /** Where the plan stands now. */
  readonly status: PlanStatus
  /** Measured runs still to be made. [1] */
  readonly remaining: number
}

/** A plan as its owner reads it. */
export interface PlanRecord {
  /** Identity, UUID version 7. */
  readonly id: string
  /** Where it stands. */
  readonly status: PlanStatus
  /** What its registration is worth so far. */
  readonly registration: Registration
  /** When it was registered, RFC 3339 in UTC. */
  readonly registeredAt: string
  /** Name of the organisation that registered it. */
  readonly publisher: string
  /** Index of the commitment to its first version in the log. */
  readonly logIndex: number
  /** Secret behind the commitments, 64 hex digits. */
  readonly salt: string
  /** Goes with every run: shows that the run was sent after the plan was logged. */
  readonly challenge: string
  /** The terms in their present version. */
  readonly terms: Plan
  /** Later versions. */
  readonly amendments: readonly PlanAmendment[]
  /** Measured runs planned. [1] */
  readonly planned: number
  /** Measured runs still to be made. [1] */
  readonly remaining: number
  /** Runs logged so far. */
  readonly runs: readonly LoggedRun[]
  /** Identity of the signed summary; null while there is none. */
  readonly assessment: string | null
}

/** What a publisher's plans for a product came to. */
export interface PlanCounters {
  /** Name of the organisation. */
  readonly publisher: string
  /** Product asked about. */
  readonly product: string
  /** Plans registered. [1] */
  readonly opened: number
  /** Plans of which all runs were assessed. [1] */
  readonly done: number
  /** Plans whose summary is published. [1] */
  readonly published: number
  /** Plans given up after their first run. [1] */
  readonly abandoned: number
  /** Plans taken back before their first run. [1] */
  readonly withdrawn: number
}
