import type { Finding, FindingStatus, Severity, Standing } from '../../contract/result.ts'

const WEIGHT: Readonly<Record<Severity, number>> = { gate: 3, scope: 2, 'run-level': 2, note: 1 }

const MERIT: Readonly<Record<FindingStatus, number>> = {
  met: 1,
  marginal: 0.5,
  breached: 0,
  'not-evidenced': 0,
  'not-applicable': 0,
}

/**
 * Share of the applicable checks that are met.
 *
 * score = ⌊100 Σ w m / Σ w⌋, w = 3 gate, 2 scope or run-level, 1 note; m = 1 met, ½ marginal, else 0.
 *
 * @param findings all findings.
 * @param standing of the comparison.
 * @returns [1], 0 to 100, whole; 0 when the standing is `invalid`. Shown beside the standing, never instead of it.
 */
export function scoreOf(findings: readonly Finding[], standing: Standing): number {
  if (standing === 'invalid') return 0

  const applicable = findings.filter(({ status }) => status !== 'not-applicable')
  const total = applicable.reduce((sum, { severity }) => sum + WEIGHT[severity], 0)
  const earned = applicable.reduce((sum, { severity, status }) => sum + WEIGHT[severity] * MERIT[status], 0)
  return total === 0 ? 0 : Math.floor((100 * earned) / total)
}
