/** The audit table as the queries see it. */

/** What is noted. Never a secret, never a reason in somebody's own words. */
export type AuditEvent =
  | 'organisation-added'
  | 'key-added'
  | 'key-revoked'
  | 'assessment-published'
  | 'assessment-withdrawn'
  | 'study-registered'

/** One entry. */
export interface AuditRow {
  tenant: string
  id: string
  at: Date
  event: AuditEvent
  /** Identity of what was changed. */
  subject: string
}
