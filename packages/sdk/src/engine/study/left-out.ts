import type { Comparison } from '../../contract/comparison.ts'
import { checkOfRule, exclusionOf } from '../claims/plan-discipline-exclusions.ts'
import type { RunnableProtocol } from '../protocol/define-protocol.ts'

/**
 * Measured runs that were left out because somebody chose to: under a rule that looks at nothing, or under one whose check
 * does not find what the rule says when it looks at the run alone.
 *
 * @param comparison the study as a comparison.
 * @param protocol whose checks look.
 * @returns ids, in the order of the exclusions. Pure; never throws on weak evidence.
 */
export function leftOutByChoice(
  { excluded = [], runs, vehicles = [], claims = [] }: Comparison,
  protocol: RunnableProtocol,
): readonly string[] {
  const [vehicle] = vehicles
  return excluded.flatMap(({ run: id, rule }) => {
    const run = runs.find((each) => each.id === id)
    if (run === undefined || vehicle === undefined || !isRunRule(rule)) return [id]
    return exclusionOf({ run, vehicle, claims }, [rule], protocol) === null ? [id] : []
  })
}

function isRunRule(rule: string): rule is keyof typeof checkOfRule {
  return Object.hasOwn(checkOfRule, rule)
}
