import type { Evidence } from '../../evidence/evidence.ts'
import type { SessionRun } from '../../inputs/session.ts'
import { type Check, notEvidenced, observation } from '../check.ts'

/**
 * No tuning run stands between the measured runs of a block: the first and the last run of a block saw one tune.
 *
 * Tuning runs are those listed with that purpose, and rig counters declared as tuning.
 * `met` when none does; `breached` when one does; `not-evidenced` where the order of the runs is unknown.
 * Basis: common practice, no source.
 */
export const blockConsecutive: Check = {
  name: 'block-consecutive',
  compares: 'no tuning run between the measured runs of a block',
  statuses: ['met', 'breached', 'not-evidenced'],
  observe: (evidence) => {
    const { session } = evidence
    if (session.orderBasis === 'side-blocks' && session.used.length > 2) {
      return notEvidenced({
        sentence: 'The order of the runs is not recorded.',
        remedy: 'Number the runs in the order they were made.',
        runs: session.used.map(({ id }) => id),
        evidence: 'from-records',
      })
    }
    const split = session.used.find((run, index) => isSplit(evidence, session.used[index - 1], run))
    if (split === undefined) {
      return observation('met', { sentence: 'No tuning run stands between the measured runs of a block.' })
    }
    return observation('breached', {
      runs: [split.id],
      sentence: `A tuning run stands before ${split.id}, inside a block of measured runs.`,
      remedy: 'Measure the block again after the last tuning run, and list the tuning runs as such.',
    })
  },
}

function isSplit({ session }: Evidence, previous: SessionRun | undefined, run: SessionRun): boolean {
  if (previous === undefined || previous.side !== run.side || previous.mounting !== run.mounting) return false
  const listed = session.runs.some(
    ({ wire, position }) => wire.purpose === 'tuning' && position > previous.position && position < run.position,
  )
  const [from, to] = [previous.wire.counter, run.wire.counter]
  if (from === undefined || to === undefined) return listed
  const tuning = (session.comparison.unlisted ?? []).filter(({ purpose }) => purpose === 'tuning')
  return listed || tuning.some(({ counters }) => counters.some((counter) => counter > from && counter < to))
}
