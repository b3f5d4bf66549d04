/** A run to be checked and its report, with every member that there is. */
import { fullResult } from './answer-fixture.ts'
import { type Draft, fullComparison } from './comparison-fixture.ts'

/** One run with everything that can stand beside it. */
export function fullRunCheckRequest(): Draft {
  const { protocol, runs, reportIn, facility, vehicles, driveTyres, mountings, claims } = fullComparison()
  return {
    protocol,
    run: runs[0],
    reportIn,
    facility,
    vehicle: vehicles[0],
    driveTyre: driveTyres[0],
    mounting: mountings[0],
    claims,
  }
}

/** Its report. */
export function fullRunCheckReport(): Draft {
  const { protocol, findings, accounting, cautions } = fullResult()
  return {
    protocol: protocol.id,
    run: 'b1',
    isUsable: true,
    verdict: 'Run b1 is sound in all that one run shows.',
    findings,
    trace: accounting.traces[0],
    cautions,
  }
}
