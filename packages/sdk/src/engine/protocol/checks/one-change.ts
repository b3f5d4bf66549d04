import { type Check, notEvidenced, observation } from '../check.ts'

/**
 * Nothing was changed but what is under test.
 *
 * `met` when every declared change is under test; `breached` when another came along: the gain belongs to all together.
 * `not-evidenced` when no change is declared. Basis: common practice, no source.
 */
export const oneChange: Check = {
  name: 'one-change',
  compares: 'declared changes other than those under test',
  statuses: ['met', 'breached', 'not-evidenced'],
  observe: ({ session }) => {
    const changes = session.comparison.changes ?? []
    if (changes.length === 0) {
      return notEvidenced({
        sentence: 'No change is declared.',
        remedy: 'Say what was changed between the sides, and whether anything came along with it.',
        runs: [],
        evidence: 'from-records',
      })
    }
    const others = changes.filter(({ role }) => role === 'other').map(({ what }) => what)
    if (others.length === 0) {
      return observation('met', {
        observed: 0,
        sentence: `Only what is under test was changed: ${changes.map(({ what }) => what).join(', ')}.`,
      })
    }
    return observation('breached', {
      observed: others.length,
      limit: 0,
      unit: 'other changes',
      sentence: `Changed along with it: ${others.join(', ')}.`,
      remedy:
        'Test one change at a time, or claim the gain for all of them together; after a retune, compare with the baseline at its best tune.',
    })
  },
}
