import type { Interval } from '../../contract/result.ts'
import type { SessionRun } from '../inputs/session.ts'
import type { StandingDecision } from '../protocol/standing.ts'

/**
 * The limits within which a `limited` comparison holds, one sentence each.
 *
 * @param decision the standing with the findings that limit it.
 * @param scope what the headline interval covers.
 * @param charted runs whose curve was read from a chart.
 * @returns sentences; empty unless `limited`. Pure; never throws.
 */
export function scopeSentences(
  { standing, limiting }: StandingDecision,
  scope: Interval['scope'],
  charted: readonly SessionRun[],
): readonly string[] {
  if (standing !== 'limited') return []
  const reach = {
    reproducible: [],
    'as-mounted': [
      'The interval holds for these mountings only; strapping the machine down again may change the gain.',
    ],
    none: ['The data give no interval for the gain of the part.'],
  }[scope]
  const breached = limiting
    .filter(({ status }) => status === 'breached')
    .map(({ check, sentence }) => `${sentence} (${check})`)
  const unknown = limiting
    .filter(({ status }) => status === 'not-evidenced')
    .map(({ check, sentence }) => `Not shown: ${sentence} (${check})`)
  const drawn =
    charted.length === 0
      ? []
      : [
          `Read from a chart: ${charted.map(({ id }) => id).join(', ')}. What the drawing and its reading add is in no interval.`,
        ]
  return [...reach, ...drawn, ...breached, ...unknown]
}
