import type { LogReceipt } from '@fairpull/sdk/contract'
import type { StoredAssessment } from '../ports.ts'
import type { AssessmentRow } from './schema.ts'

/** A row as the use cases know it. */
export function assessmentOf(row: AssessmentRow): StoredAssessment {
  return {
    tenant: row.tenant,
    id: row.id,
    createdAt: row.created_at,
    status: row.status,
    jws: Buffer.from(row.jws).toString('ascii'),
    payload: row.payload,
    comparison: row.comparison,
    comparisonDigest: row.comparison_digest,
    log: row.log as LogReceipt | null,
    publication: row.published_at === null ? null : { at: row.published_at, withRuns: row.runs_published === true },
    withdrawal:
      row.withdrawn_at === null
        ? null
        : { at: row.withdrawn_at, reason: row.withdrawn_reason ?? '', notice: row.withdrawal_notice ?? '' },
  }
}
