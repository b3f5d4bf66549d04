/** The tables as the queries see them. Times are written by the service's clock, never by the database's. */
import type { AssessmentStatus } from '../ports.ts'
import type { AuditRow } from './audit-schema.ts'
import type { LogTables } from './log-schema.ts'
import type { PlanTables } from './plan-schema.ts'

/** All tables, by name. */
export interface Tables extends PlanTables, LogTables {
  organisations: OrganisationRow
  api_keys: ApiKeyRow
  first_start: FirstStartRow
  assessments: AssessmentRow
  runs: RunRow
  audit: AuditRow
  studies: StudyRow
  withdrawn_runs: WithdrawnRunRow
  idempotency: IdempotencyRow
  applied_migrations: AppliedMigrationRow
}

/** A tenant. */
export interface OrganisationRow {
  tenant: string
  name: string
  created_at: Date
}

/** An API key; the secret only as SHA-256. */
export interface ApiKeyRow {
  tenant: string
  id: string
  prefix: string
  secret_digest: Uint8Array
  /** JSON array of strings; written as text, read as an array. */
  scopes: unknown
  created_at: Date
  revoked_at: Date | null
}

/** At most one row: the first organisation and key have been made. */
export interface FirstStartRow {
  only: boolean
  tenant: string
  at: Date
}

/** A signed assessment. */
export interface AssessmentRow {
  tenant: string
  id: string
  created_at: Date
  status: AssessmentStatus
  jws: Uint8Array
  payload: Uint8Array
  comparison: Uint8Array
  comparison_digest: Uint8Array
  /** JSON; written as text, read as an object. */
  log: unknown
  published_at: Date | null
  runs_published: boolean | null
  withdrawn_at: Date | null
  withdrawn_reason: string | null
  withdrawal_notice: string | null
}

/** A run of a withdrawn assessment. */
export interface WithdrawnRunRow {
  tenant: string
  digest: Uint8Array
  assessment: string
}

/** A run, gzip over its exact bytes. */
export interface RunRow {
  tenant: string
  digest: Uint8Array
  gzip: Uint8Array
  created_at: Date
}

/** A repeatability study, gzip over what was submitted. */
export interface StudyRow {
  tenant: string
  id: string
  created_at: Date
  facility: string
  gzip: Uint8Array
  result: Uint8Array
}

/** An answered request. */
export interface IdempotencyRow {
  tenant: string
  key: string
  request_digest: Uint8Array
  status: number
  /** JSON object of strings; written as text, read as an object. */
  headers: unknown
  body: Uint8Array
  expires_at: Date
}

/** A migration that has run here. */
export interface AppliedMigrationRow {
  name: string
  statement_digest: string
  applied_at: Date
}
