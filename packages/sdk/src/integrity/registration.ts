/** Step 7 of a verification: the receipts, and what the log shows of the plan. Loaded for summaries with a plan only. */
import type { Comparison, SummaryPayload } from '../contract/index.ts'
import type { LogView } from './log-view.ts'
import type { Outcome } from './outcome.ts'
import { type PlanFirstAnswer, type PlanFirstCode, planFirstOf } from './plan-first.ts'
import { type ReceiptReader, type ReceiptsCode, readReceipts } from './receipts.ts'

/** Why a registration was refused. */
export type RegistrationCode = ReceiptsCode | PlanFirstCode

/** What the reader brings along. */
export interface RegistrationReader extends ReceiptReader {
  /** The comparison that was judged, held against its digests; undefined where it is not at hand. */
  readonly comparison: Comparison | undefined
  readonly view?: LogView
}

/** The receipts first, then the log. @throws LogViewError when the files of the log do not show an entry. */
export async function checkRegistration(
  payload: SummaryPayload,
  reader: RegistrationReader,
): Promise<Outcome<PlanFirstAnswer, RegistrationCode>> {
  const receipts = await readReceipts(payload, reader)
  if (!receipts.ok) return receipts
  return planFirstOf(payload, { ...reader, receipts: receipts.value })
}
