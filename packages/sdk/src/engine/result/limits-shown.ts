import { ordinal } from '../claims/plan-words.ts'
import { isHearsay } from '../inputs/hearsay.ts'
import type { Session } from '../inputs/session.ts'

/**
 * What a result does not show, in plain sentences, printed with every summary.
 *
 * @param session the session.
 * @returns sentences, the general ones first. Pure; never throws.
 */
export function limitsShown(session: Session): readonly string[] {
  const general = [
    'The signature proves who said what and when, and that the arithmetic follows from the data. It does not prove that the rig was honest.',
    'The gain holds for this machine on this rig; another machine or another rig may show another gain.',
    'Intervals are 95 % each and are not adjusted for the number of claims; judgements are.',
    'Power at the wheel of a roller dynamometer is not power at the crankshaft; a correction standard applied to it is a convention.',
  ]
  const reported = session.used.some(isHearsay)
    ? [
        'Figures that were only reported or read from a chart cannot be recomputed; nobody here saw the runs behind them.',
      ]
    : []
  const { attempt } = session.comparison.plan ?? {}
  const others =
    attempt === undefined || attempt.of === 1
      ? []
      : [
          `This is the ${ordinal(attempt.number)} of ${attempt.of} plans for this product and machine; the others may have come out otherwise.`,
        ]
  return [...general, ...others, ...reported]
}
