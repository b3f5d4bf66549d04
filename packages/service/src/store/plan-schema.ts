/** The tables of registered plans as the queries see them. */
import type { PlanStatus } from '@fairpull/sdk/contract'

/** Tables of plans, by name. */
export interface PlanTables {
  plans: PlanRow
  plan_versions: PlanVersionRow
  plan_runs: PlanRunRow
}

/** A plan; its terms stand in its versions. */
export interface PlanRow {
  tenant: string
  id: string
  created_at: Date
  publisher: string
  product: string
  vehicle: string
  quantity: string
  status: PlanStatus
  challenge: string
  salt: string
  planned: number
  counted: number
  logged: number
  assessment: string | null
}

/** One version of a plan. */
export interface PlanVersionRow {
  tenant: string
  plan: string
  version: number
  at: Date
  reason: string | null
  /** bigint comes as text. */
  log_index: string | number
  after_first_run: boolean
  terms: Uint8Array
}

/** One run of a plan, gzip over its exact bytes. */
export interface PlanRunRow {
  tenant: string
  plan: string
  number: number
  run: string
  digest: string
  gzip: Uint8Array
  mounting: string | null
  mounting_digest: string | null
  mounting_json: Uint8Array | null
  received_at: Date
  excluded_by: string | null
  log_index: string | number | null
  receipt: string | null
}

/** Every column of a run but its bytes. */
export const PLAN_RUN_ENTRY = [
  'tenant',
  'plan',
  'number',
  'run',
  'digest',
  'mounting',
  'mounting_digest',
  'mounting_json',
  'received_at',
  'excluded_by',
  'log_index',
  'receipt',
] as const satisfies readonly (keyof PlanRunRow)[]
