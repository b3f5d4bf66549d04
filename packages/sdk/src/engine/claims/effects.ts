import type { Protocol } from '../../contract/protocol.ts'
import type { Finding } from '../../contract/result.ts'
import type { Evidence } from '../evidence/evidence.ts'

/**
 * Why every claim is undecided, by the effect that a protocol gives to a finding.
 *
 * @param evidence tells whether one side comes first.
 * @param findings all findings.
 * @param protocol for the effects.
 * @returns the reason in one sentence; null when no effect acts. Not-evidenced never acts. Source: measurement-model §8.
 */
export function undecidedBecause(
  { headline }: Evidence,
  findings: readonly Finding[],
  protocol: Protocol,
): string | null {
  const oneSideFirst = headline !== null && !headline.fit.isBracketed
  const effects = new Map(protocol.checks.map(({ check, effect }) => [check, effect]))
  const acting = findings.find(({ check, status }) => {
    const effect = effects.get(check)
    if (effect == null || !effect.on.some((each) => each === status)) return false
    return oneSideFirst || !effect.onlyWhenOneSideFirst
  })
  return acting === undefined ? null : `${acting.sentence} (${acting.check})`
}
