/** Step 6 of a verification. Loaded where something of the log was brought along: other readers do not carry the proofs. */
import { checkLogReceipt, checkLogView, type LogCode, type LogEvidence, summaryLogEntry } from './log-receipt.ts'
import type { LogView } from './log-view.ts'
import { accepted, type Outcome } from './outcome.ts'
import type { Trust } from './trust.ts'
import type { Ending, LogReport } from './verification-report.ts'

/** What the reader brings along. */
export interface LogReader {
  /** The receipt, taken as hostile; undefined where there is none. */
  readonly log?: unknown
  readonly view?: LogView
  readonly trust?: Trust
}

/** What became of step 6. */
export interface LogStep {
  readonly report: LogReport
  readonly ending: Ending
}

/** The receipt first, then the log itself. @throws LogViewError when the files of the log do not show an entry. */
export async function placeInLog(jws: string, { log, view, trust }: LogReader): Promise<Outcome<LogStep, LogCode>> {
  const entry = await summaryLogEntry(jws)
  const given = log === undefined ? accepted(null) : await checkLogReceipt(entry, log, trust?.logs ?? [])
  if (!given.ok) return given
  const found = view === undefined ? given : await checkLogView(entry, view, given.value ?? undefined)
  return found.ok ? accepted(stepOf(found.value)) : found
}

const endings: Readonly<Record<LogEvidence['status'], Ending>> = {
  proven: ['passed', 'a log you trust holds this summary'],
  'log-unknown': ['noted', 'the proof leads to its checkpoint, but nobody you trust vouches for the log'],
}

function stepOf(evidence: LogEvidence | null): LogStep {
  if (evidence === null) {
    return {
      report: { status: 'not-in-log', index: null },
      ending: ['noted', 'the log at hand does not hold this summary'],
    }
  }
  const { status, index } = evidence
  return { report: { status, index }, ending: endings[status] }
}
