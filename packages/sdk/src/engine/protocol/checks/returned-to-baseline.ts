import { baselineBlocks } from '../../evidence/baseline-blocks.ts'
import { returnedToBaseline as compareBlocks } from '../../statistics/returned-to-baseline.ts'
import { type Check, graded, notEvidenced } from '../check.ts'

/**
 * The machine came back to its baseline: the last baseline block against the first, in standard uncertainties. [1]
 *
 * `met` up to t(0.975), `marginal` up to t(0.995) of the run-to-run degrees of freedom, `breached` above. Where no second
 * block was run it is a note.
 * Basis: measurement-model §8; common practice, no source.
 */
export const returnedToBaseline: Check = {
  name: 'returned-to-baseline',
  compares: 'last baseline block against the first',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  observe: (evidence) => {
    const blocks = baselineBlocks(evidence)
    if (blocks === null) {
      return notEvidenced({
        sentence: 'The baseline was not measured again after the modified runs.',
        remedy: 'Refit the original part and measure the baseline once more, where the change can be undone.',
        runs: [],
        evidence: 'repeat',
        severity: 'note',
      })
    }
    const { z, met, marginal } = compareBlocks(blocks.input)
    if (z === null) {
      return notEvidenced({
        sentence: 'Two baseline blocks were run, but the scatter to judge them by is not known.',
        remedy: 'Make two or more runs in each block, or give the facility’s repeatability and re-mounting values.',
        runs: blocks.runs,
        evidence: 'repeat',
      })
    }
    return graded({
      observed: z,
      limit: { met, marginal, unit: 'standard uncertainties' },
      sentence: `The last baseline block lies ${z.toFixed(1)} standard uncertainties from the first.`,
      remedy: 'Something else changed on the way: find it, and measure again.',
      runs: blocks.runs,
    })
  },
}
