import { outlyingCells } from '../../evidence/outlying.ts'
import { type Check, notEvidenced, observation } from '../check.ts'

/**
 * No run stands out from the others of its side in its mounting; an outlying one is shown with and without, never deleted.
 *
 * Statistic: smallest p of a moderated leave-one-out t-test of the logarithm of the mean power, side by side and mounting by
 * mounting. `breached` below 0.01 over the number of runs: the claims are then undecided. Of two runs that disagree both are
 * named. `not-evidenced` where no mounting holds two runs of one side.
 * Basis: measurement-model §8.
 */
export const outlierFree: Check = {
  name: 'outlier-free',
  compares: 'each run against the others of its side in its mounting',
  statuses: ['met', 'breached', 'not-evidenced'],
  observe: (evidence) => {
    const cells = outlyingCells(evidence)
    const [first] = cells
    if (first === undefined) {
      return notEvidenced({
        sentence: 'No mounting holds two runs of one side, so an outlying run cannot be told.',
        remedy: 'Make two or more measured runs of each side within a mounting.',
        runs: evidence.session.used.map(({ id }) => id),
        evidence: 'repeat',
      })
    }
    const worst = cells.reduce((a, b) => (b.observed < a.observed ? b : a), first)
    const runs = cells.flatMap((cell) => cell.runs.map(({ id }) => id))
    return observation(runs.length === 0 ? 'met' : 'breached', {
      observed: worst.observed,
      limit: worst.limit,
      unit: 'p',
      runs,
      sentence:
        runs.length === 0
          ? 'No run stands out from the others of its side.'
          : `Out of line with the other runs: ${runs.join(', ')}. The gain is shown with and without.`,
      remedy:
        'Find out what happened in that run. If it was slip, fuelling or the recording, leave it out under that rule; else make more runs.',
    })
  },
}
