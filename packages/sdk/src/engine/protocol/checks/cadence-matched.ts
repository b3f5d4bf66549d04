import type { Side } from '../../../contract/run.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import { median } from '../../numerics/median.ts'
import { type Check, graded, limitOf, notEvidenced } from '../check.ts'

/**
 * The sides ran at the same pace: median time from one run start to the next, the larger side over the smaller. [1]
 *
 * Only neighbouring runs of one side in one mounting count. Basis: common practice, no source.
 */
export const cadenceMatched: Check = {
  name: 'cadence-matched',
  compares: 'time between run starts, side medians',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  observe: (evidence, rule) => {
    const [baseline, modified] = [gaps_s(evidence, 'baseline'), gaps_s(evidence, 'modified')]
    if (baseline.length === 0 || modified.length === 0) {
      return notEvidenced({
        sentence: 'The time between runs is not known for both sides.',
        remedy: 'Record the start time of every run, conditioning runs too.',
        runs: evidence.session.used.filter(({ start_s }) => start_s === null).map(({ id }) => id),
        evidence: 'from-records',
      })
    }
    const [a, b] = [median(baseline), median(modified)]
    return graded({
      observed: Math.max(a, b) / Math.min(a, b),
      limit: limitOf(rule, 'ratio'),
      sentence: `A baseline run began every ${a.toFixed(0)} s, a modified one every ${b.toFixed(0)} s.`,
      remedy: 'Keep the same pause between runs on both sides, so that heat builds up alike.',
      runs: evidence.session.used.map(({ id }) => id),
    })
  },
}

function gaps_s({ session }: Evidence, side: Side): number[] {
  return session.runs.flatMap((run, index) => {
    const previous = session.runs[index - 1]
    const isPair =
      previous !== undefined && previous.side === side && run.side === side && previous.mounting === run.mounting
    if (!isPair || run.start_s === null || previous.start_s === null) return []
    const gap = run.start_s - previous.start_s
    return gap > 0 ? [gap] : []
  })
}
