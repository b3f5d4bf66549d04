import type { Comparison, SummaryPayload } from '@fairpull/sdk/contract'
import type { PublicationState } from './words/report-words.ts'

/** What chart, report and badge are made from: a stored signed summary, its status, and its comparison where it may be shown. */
export interface ReportSource {
  /** The signed payload. */
  readonly payload: SummaryPayload
  /** Compact JWS over it. */
  readonly jws: string
  /** Who may read it. */
  readonly status: PublicationState
  /** The comparison that was judged; null where it is not at hand or not to be shown. */
  readonly comparison: Comparison | null
}
