/** Which check is to name which fault. */
import type { FindingStatus, Result } from '@fairpull/sdk/contract'
import type { OrdinaryFaultName } from '@fairpull/sdk/testing'

/** The check that names a fault, and by which status. */
export interface ExpectedFinding {
  /** The check. */
  readonly check: string
  /** What it must say; `marginal` counts where the protocol lets it act. */
  readonly statuses: readonly FindingStatus[]
  /** Whether the fault shows in the traces only, so that a protocol that does not read them cannot see it. */
  readonly isInTraces: boolean
}

const declared = (check: string): ExpectedFinding => ({ check, statuses: ['breached'], isInTraces: false })
const traced = (check: string): ExpectedFinding => ({ check, statuses: ['breached'], isInTraces: true })

/** The finding that each ordinary fault must lead to when its evidence is there. */
export const expectedFindings: Readonly<Record<OrdinaryFaultName, ExpectedFinding>> = {
  gear: traced('gear-matched'),
  'gear-declared': declared('gear-matched'),
  'wrong-factor': declared('correction-matched'),
  'intake-air': declared('intake-air-matched'),
  duplicate: { ...traced('no-duplicate-runs'), statuses: ['breached', 'marginal'] },
  order: { ...declared('order-coherent'), statuses: ['breached', 'marginal'] },
  clipped: traced('trace-sound'),
  unaccounted: declared('all-runs-counted'),
  'tyre-pressure': traced('speed-ratio-matched'),
  'tyre-pressure-declared': declared('tyre-pressure-matched'),
  strap: traced('speed-ratio-matched'),
  'strap-declared': declared('strap-load-matched'),
  'starvation-with-lambda': traced('fuelling-sound'),
  'starvation-without-lambda': traced('fuelling-sound'),
  smoothing: traced('processing-matched'),
  'heat-soak': { ...declared('engine-temperature-matched'), statuses: ['breached', 'marginal'] },
}

/** A check that only a protocol which reads the traces has. */
const TRACE_CHECK = 'speed-ratio-matched'

/** Whether the protocol of a result reads the traces. */
export function readsTraces(result: Result): boolean {
  return result.findings.some(({ check }) => check === TRACE_CHECK)
}

/** Whether a result names a fault by the check that is to name it. */
export function names(result: Result, fault: OrdinaryFaultName): boolean {
  const { check, statuses } = expectedFindings[fault]
  return result.findings.some((finding) => finding.check === check && statuses.includes(finding.status))
}
