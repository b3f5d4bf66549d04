import type { Finding, Interval, Standing } from '../../contract/result.ts'

/** The standing with the findings that made it so. */
export interface StandingDecision {
  /** The standing. */
  readonly standing: Standing
  /** Findings that invalidate; empty unless `invalid`. */
  readonly invalidating: readonly Finding[]
  /** Findings that limit. */
  readonly limiting: readonly Finding[]
}

/**
 * The standing of a comparison.
 *
 * `invalid` if a gate, or a run-level check of a used run, is breached; else `limited` if a scope check is breached, or a
 * gate, scope or run-level check is not-evidenced, or the interval is not reproducible, or a curve was only read
 * from a chart; else `valid`. Marginal findings and
 * notes never limit.
 *
 * @param findings all findings.
 * @param scope what the headline interval covers.
 * @param isReadFromChart whether a used curve was read from a chart: what the reading adds, nobody can tell.
 * @param hasBothSides whether each side has a usable run; without, nothing can be compared.
 * @returns the decision. Pure; never throws.
 */
export function standingOf(
  findings: readonly Finding[],
  scope: Interval['scope'],
  isReadFromChart: boolean,
  hasBothSides: boolean,
): StandingDecision {
  const invalidating = findings.filter(
    ({ severity, status }) => status === 'breached' && (severity === 'gate' || severity === 'run-level'),
  )
  const limiting = findings.filter(
    ({ severity, status }) =>
      (status === 'breached' && severity === 'scope') || (status === 'not-evidenced' && severity !== 'note'),
  )
  if (invalidating.length > 0 || !hasBothSides) return { standing: 'invalid', invalidating, limiting }
  const isLimited = limiting.length > 0 || scope !== 'reproducible' || isReadFromChart
  return { standing: isLimited ? 'limited' : 'valid', invalidating, limiting }
}
