import type { Accounting } from '../../contract/accounting.ts'
import { accountedCounters } from '../evidence/counters.ts'
import type { Evidence } from '../evidence/evidence.ts'
import { traceReadings } from '../evidence/trace.ts'
import { ofSide } from '../inputs/session.ts'

/**
 * What became of every run of the document and of every number of the rig's counter.
 *
 * @param evidence the evidence.
 * @returns the account, in the order the runs were made. Pure; never throws.
 */
export function accountingOf({ session, traces, copies }: Evidence): Accounting {
  const { missing, unlisted } = accountedCounters(session)
  return {
    recorded: session.runs.length,
    used: session.used.map(({ id }) => id),
    excluded: [
      ...(session.comparison.excluded ?? []).map(({ run, rule, reason }) => ({ run, rule, reason })),
      ...copies.map(({ run, of }) => ({ run: run.id, rule: 'duplicate' as const, reason: `A copy of run ${of.id}.` })),
    ],
    notMeasured: session.runs.flatMap(({ id, wire }) =>
      wire.purpose === 'measured' ? [] : [{ run: id, purpose: wire.purpose }],
    ),
    unlisted,
    unaccounted: missing,
    perSide: { baseline: ofSide(session.used, 'baseline').length, modified: ofSide(session.used, 'modified').length },
    traces: traceReadings(session.used, traces),
  }
}
