import type { Mounting } from '../../../contract/mounting.ts'
import type { ProtocolCheck } from '../../../contract/protocol.ts'
import type { Severity } from '../../../contract/result.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import { toSI } from '../../physics/units.ts'
import { type Check, graded, limitOf, notEvidenced, type Observation, observation } from '../check.ts'

/**
 * The machine was pulled onto the rollers alike in every mounting: strap tension per position, else suspension length.
 *
 * Tension: (largest − smallest) / mean over the mountings, worst position. [%] Length: largest − smallest. [mm]
 * It weighs as a note while one mounting holds both sides or a re-mounting term is in the budget, else as scope.
 * Basis: common practice, no source.
 */
export const strapLoadMatched: Check = {
  name: 'strap-load-matched',
  compares: 'strap tension per position between mountings, else suspension length under the straps',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced', 'not-applicable'],
  observe: (evidence, rule) => {
    const severity: Severity =
      evidence.mountings.oneHoldsBothSides || evidence.mountings.hasRemountingTerm ? 'note' : rule.severity
    return { ...compareMountings(evidence, rule), severity }
  },
}

function compareMountings(evidence: Evidence, rule: ProtocolCheck): Observation {
  const { session } = evidence
  const ids = new Set(session.used.map(({ mounting }) => mounting))
  const runs = session.used.map(({ id }) => id)
  if (ids.size === 1 && session.used.every(({ isMountingKnown }) => isMountingKnown)) {
    return observation('not-applicable', { sentence: 'The machine stayed strapped down; there is one mounting only.' })
  }
  const mountings = (session.comparison.mountings ?? []).filter(({ id }) => ids.has(id))
  const isComplete = ids.size > 0 && mountings.length === ids.size
  const tension = isComplete ? tensionSpread_percent(mountings) : null
  if (tension !== null) return gradeSpread(tension, 'strap tension', 'tension', rule, runs)

  const lengths = mountings.flatMap(({ suspensionLength }) =>
    suspensionLength === undefined ? [] : [toSI('length', suspensionLength) * 1000],
  )
  if (isComplete && lengths.length === ids.size) {
    return gradeSpread(Math.max(...lengths) - Math.min(...lengths), 'suspension length', 'suspensionLength', rule, runs)
  }
  return notEvidenced({
    sentence: 'Neither strap tension nor suspension length under the straps was recorded for every mounting.',
    remedy:
      'Read the strap tension with a load cell, or measure axle to frame with a tape, each time the machine is strapped down.',
    runs,
    evidence: 'repeat',
  })
}

function gradeSpread(
  observed: number,
  what: string,
  limit: string,
  rule: ProtocolCheck,
  runs: readonly string[],
): Observation {
  const limits = limitOf(rule, limit)
  return graded({
    observed,
    limit: limits,
    sentence: `Between mountings the ${what} differs by ${observed.toFixed(1)} ${limits.unit}.`,
    remedy:
      'Strap down to the same load each time: more load costs power and changes the rolling radius. Keep to the straps’ working load limit.',
    runs,
  })
}

/** Worst relative spread of the tension over positions; null unless every mounting read the same positions. */
function tensionSpread_percent(mountings: readonly Mounting[]): number | null {
  const byPosition = mountings.map(
    ({ straps }) =>
      new Map(
        straps?.flatMap(({ position, tension }) =>
          tension === undefined ? [] : [[position, toSI('force', tension)] as const],
        ),
      ),
  )
  const positions = [...(byPosition[0]?.keys() ?? [])]
  if (positions.length === 0 || byPosition.some((straps) => straps.size !== positions.length)) return null

  const spreads = positions.map((position) => {
    const tensions = byPosition.map((straps) => straps.get(position) ?? Number.NaN)
    const mean = tensions.reduce((sum, tension) => sum + tension, 0) / tensions.length
    return (100 * (Math.max(...tensions) - Math.min(...tensions))) / mean
  })
  const worst = Math.max(...spreads)
  return Number.isNaN(worst) ? null : worst
}
