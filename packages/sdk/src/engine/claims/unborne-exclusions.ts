import type { PlanRuleName } from '../../contract/plan.ts'
import { type Evidence, evidenceFrom, type UnborneExclusion } from '../evidence/evidence.ts'
import { findingOf, type ProtocolRow } from '../protocol/check.ts'
import { checkOfRule } from './plan-discipline-exclusions.ts'

/**
 * Runs left out under a named rule whose own check does not say so. Under a plan the register judged the rule, and the plan's
 * discipline looks at it; the rule `operator` has no check.
 *
 * The runs of a rule are put back for it, without those of the others: starving shows against the other runs of a side.
 *
 * @param evidence the evidence.
 * @param rows checks of the protocol. A rule whose check is not among them is never borne out.
 * @returns one entry per such run, in the order of the rules. Pure; never throws on weak evidence.
 *
 * Tested: tests/engine/unborne-exclusions.test.ts.
 */
export function unborneExclusions(evidence: Evidence, rows: readonly ProtocolRow[]): readonly UnborneExclusion[] {
  const { excluded = [], plan } = evidence.session.comparison
  if (plan !== undefined) return []
  return planRules.flatMap((rule) => {
    const runs = excluded.flatMap((each) => (each.rule === rule ? each.run : []))
    return runs.length === 0 ? [] : unborne(evidence, rule, runs, rows)
  })
}

const planRules = Object.keys(checkOfRule) as readonly PlanRuleName[]

function unborne(
  { session, traces }: Evidence,
  rule: PlanRuleName,
  runs: readonly string[],
  rows: readonly ProtocolRow[],
): readonly UnborneExclusion[] {
  const check = checkOfRule[rule]
  const row = rows.find((each) => each.check.name === check)
  const used = session.runs.filter((run) => session.used.includes(run) || runs.includes(run.id))
  const finding = row === undefined ? null : findingOf(row, evidenceFrom({ ...session, used }, traces))
  const borne = finding?.status === 'breached' ? finding.runs : []
  return runs.filter((run) => !borne.includes(run)).map((run) => ({ run, rule, check }))
}
