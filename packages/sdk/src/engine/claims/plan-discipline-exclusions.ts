import type { Claim } from '../../contract/claim.ts'
import type { PlanRuleName } from '../../contract/plan.ts'
import type { Run } from '../../contract/run.ts'
import type { Vehicle } from '../../contract/vehicle.ts'
import { evidenceOf } from '../evidence/evidence.ts'
import { readSession } from '../inputs/session.ts'
import { findingOf } from '../protocol/check.ts'
import type { RunnableProtocol } from '../protocol/define-protocol.ts'

/** The check that judges each rule. */
export const checkOfRule: Readonly<Record<PlanRuleName, string>> = {
  trace: 'trace-sound',
  slip: 'speed-ratio-steady',
  fuelling: 'fuelling-sound',
}

/** One measured run without the side it belongs to, and the little that its own checks need beside it. */
export interface BlindRun {
  /** The run. */
  readonly run: Omit<Run, 'side'>
  /** The machine. */
  readonly vehicle: Vehicle
  /** Claims, for the engine speeds they speak of. */
  readonly claims: readonly Claim[]
}

/** Why a run is left out. */
export interface BlindExclusion {
  /** The rule. */
  readonly rule: PlanRuleName
  /** What its check saw, in one sentence. */
  readonly reason: string
}

/**
 * The first rule of a plan under which a run is left out; null when it counts.
 *
 * The run is looked at alone and without its side: no gain exists here, and nothing can be left out because it does not
 * suit. Only a check that is breached leaves a run out; missing evidence never does.
 *
 * @param blind the run without its side.
 * @param rules rules of the plan, in its order.
 * @param protocol whose checks and limits judge. A rule whose check it does not hold leaves nothing out.
 * @returns rule and reason. Pure; never throws on weak evidence. Source: measurement-model §10.
 */
export function exclusionOf(
  { run, vehicle, claims }: BlindRun,
  rules: readonly PlanRuleName[],
  protocol: RunnableProtocol,
): BlindExclusion | null {
  if (rules.length === 0 || run.purpose !== 'measured') return null
  const { mounting: _, ...alone } = run
  const { driveTyre: __, rollers: ___, ...setup } = run.setup ?? {}
  const evidence = evidenceOf(
    readSession({
      protocol: protocol.data.id,
      vehicles: [vehicle],
      runs: [{ ...alone, setup, side: 'baseline' }],
      claims,
    }),
  )
  for (const rule of rules) {
    const row = protocol.rows.find(({ check }) => check.name === checkOfRule[rule])
    const finding = row === undefined ? undefined : findingOf(row, evidence)
    if (finding?.status === 'breached') return { rule, reason: finding.sentence }
  }
  return null
}
