/** The audit table as the queries see it. */

/** What is noted. Never a secret, never a reason in somebody's own words. */
export type AuditEvent =
  | 'organisation-added'
  | 'key-added'
  | 'key-revoked'
  | 'assessment-issued'
  | 'assessment-published'
  | 'assessment-withdrawn'
  | 'study-registered'
  | 'plan-registered'
  | 'plan-amended'
  | 'plan-run-logged'
  | 'plan-closed'
  | 'plan-abandoned'
  | 'plan-withdrawn'
  | 'trust-list-taken'
  | 'log-stopped'
  | 'log-resumed'

/** One entry. */
export interface AuditRow {
  tenant: string
  id: string
  at: Date
  event: AuditEvent
  /** Identity of what was changed. */
  subject: string
}
