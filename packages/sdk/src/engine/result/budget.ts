import type { RecordStatus } from '../../contract/facility.ts'
import type { BudgetTerm } from '../../contract/result.ts'
import type { Evidence } from '../evidence/evidence.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import type { NamedComponent, TermName } from '../statistics/fit-terms.ts'
import type { ScalarFit } from '../statistics/scalar-fit.ts'

const NAMES: Readonly<Record<TermName, BudgetTerm['term']>> = {
  repeat: 'repeatability',
  drift: 'drift',
  warm_up: 'warm-up',
  ambient: 'ambient',
  day: 'day',
  mount: 'mounting',
}

/**
 * The uncertainty budget of the headline gain, term by term.
 *
 * @param evidence the evidence.
 * @returns terms with their share of the variance; empty where there is no interval. Pure; never throws.
 *
 * Source: JCGM 100, clause 8; measurement-model §3.4.
 */
export function budgetOf(evidence: Evidence): readonly BudgetTerm[] {
  const { headline } = evidence
  const interval = headline?.fit.interval ?? null
  if (headline === null || interval === null) return []
  const total = interval.components.reduce((sum, { variance }) => sum + variance, 0)
  return interval.components.map((component) => ({
    term: NAMES[component.term],
    type: typeOf(component, headline.fit),
    standardUncertainty: roundSignificant(100 * Math.sqrt(component.variance)),
    degreesOfFreedom: roundSignificant(component.dof),
    share: roundSignificant((100 * component.variance) / total),
    status: statusOf(component, headline.fit, evidence),
  }))
}

/** Type A from these runs alone, B from other knowledge, AB where both are joined. */
function typeOf({ term }: NamedComponent, { repeatability, mountMode, drift }: ScalarFit): BudgetTerm['type'] {
  if (term === 'repeat') {
    return repeatability.mode === 'moderated' ? (repeatability.dof > 0 ? 'AB' : 'B') : 'A'
  }
  if (term === 'mount')
    return mountMode === 'session_mounting_means' ? 'A' : mountMode === 'declared+session' ? 'AB' : 'B'
  return term === 'drift' && drift.isDetected ? 'AB' : 'B'
}

function statusOf({ term }: NamedComponent, fit: ScalarFit, { record, recordReading }: Evidence): BudgetTerm['status'] {
  const declared: RecordStatus = recordReading.status ?? 'assumed'
  if (term === 'repeat') return fit.repeatability.mode === 'moderated' ? declared : 'these-runs'
  if (term === 'mount') return fit.mountMode === 'session_mounting_means' ? 'these-runs' : declared
  if (term === 'day') return declared
  const isRecorded =
    term === 'drift' ? record?.driftRelSdPerRun != null : term === 'ambient' ? record?.ambientFracSd != null : false
  return isRecorded ? declared : 'assumed'
}
