import { ofSide } from '../../inputs/session.ts'
import { type Check, gradedAtLeast, limitOf } from '../check.ts'

/**
 * Enough usable runs on the side that has fewer.
 *
 * `met` from `limits.perSide.met`, `marginal` from `.marginal`, `breached` below: one run gives no Type A interval.
 * Basis: common practice, no source.
 */
export const runsEnough: Check = {
  name: 'runs-enough',
  compares: 'usable runs per side',
  statuses: ['met', 'marginal', 'breached'],
  observe: ({ session }, rule) => {
    const [baseline, modified] = [ofSide(session.used, 'baseline').length, ofSide(session.used, 'modified').length]
    return gradedAtLeast({
      observed: Math.min(baseline, modified),
      limit: limitOf(rule, 'perSide'),
      runs: session.used.map(({ id }) => id),
      sentence: `Usable runs: ${baseline} baseline, ${modified} modified.`,
      remedy: 'Make at least three measured runs per side.',
    })
  },
}
