import { ofSide } from '../../inputs/session.ts'
import { type Check, gradeAtLeast, limitOf, observation } from '../check.ts'

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
    const limit = limitOf(rule, 'perSide')
    const fewest = Math.min(baseline, modified)
    const status = gradeAtLeast(fewest, limit)
    return observation(status, {
      observed: fewest,
      limit: status === 'met' ? limit.met : limit.marginal,
      unit: limit.unit,
      runs: status === 'met' ? [] : session.used.map(({ id }) => id),
      sentence: `Usable runs: ${baseline} baseline, ${modified} modified.`,
      remedy: 'Make at least three measured runs per side.',
    })
  },
}
