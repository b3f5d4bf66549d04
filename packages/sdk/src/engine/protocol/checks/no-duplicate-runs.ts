import type { DroppedCopy } from '../../evidence/copies.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import { ofSide } from '../../inputs/session.ts'
import { type Check, channelAbsent, type Observation, observation } from '../check.ts'

/**
 * No run is another run once more: copied, shifted, rescaled or given new noise.
 *
 * Statistic: rms difference of two curves, less a straight line, in honest noise. [1] `breached` where two curves are nearer
 * to each other than two recordings can be, or hold the same numbers; the later one is dropped and everything is analysed
 * without it. It weighs as a note, as a gate where a side is left without a run or both carry one number of the rig.
 * `not-evidenced` where fewer than two runs have curves on a common grid.
 * Basis: measurement-model §8.
 */
export const noDuplicateRuns: Check = {
  name: 'no-duplicate-runs',
  compares: 'every run against every other: equal numbers, or curves nearer than two recordings can be',
  statuses: ['met', 'breached', 'not-evidenced'],
  observe: (evidence) => {
    const { copies, compared, session } = evidence
    if (copies.length > 0) return copiesFound(evidence)
    if (compared === null || session.used.length < 2) {
      return channelAbsent({
        channel: 'recorded curves',
        remedy: 'Hand in the recorded channels of every run: a printed peak cannot be told from its copy.',
        runs: session.used,
      })
    }
    return observation('met', { observed: 0, limit: 0, unit: 'copies', sentence: 'No run is a copy of another.' })
  },
}

function copiesFound(evidence: Evidence): Observation {
  const { copies } = evidence
  const [first] = copies
  return observation('breached', {
    observed: copies.length,
    limit: 0,
    unit: 'copies',
    runs: copies.map(({ run }) => run.id),
    sentence: `${counted(copies.length)} dropped: ${copies.map(named).join(', ')}.`,
    remedy:
      first?.by === 'same-numbers'
        ? 'Hand in each recording once, under the number the rig gave it.'
        : 'Hand in each recording once; two real runs never follow each other so closely.',
    severity: isGrave(evidence) ? 'gate' : null,
  })
}

const counted = (copies: number): string => (copies === 1 ? '1 copy was' : `${copies} copies were`)

const named = ({ run, of, by }: DroppedCopy): string =>
  `${run.id} ${by === 'same-numbers' ? 'holds the numbers of' : 'has the curve of'} ${of.id}`

/** A side without a run is left, or two curves carry one number of the rig's counter. */
function isGrave({ copies, session }: Evidence): boolean {
  const isOneNumber = copies.some(
    ({ run, of }) => run.wire.counter !== undefined && run.wire.counter === of.wire.counter,
  )
  return isOneNumber || (['baseline', 'modified'] as const).some((side) => ofSide(session.used, side).length === 0)
}
