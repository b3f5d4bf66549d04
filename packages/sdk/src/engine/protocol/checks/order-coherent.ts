import type { Evidence } from '../../evidence/evidence.ts'
import { firstFall } from '../../inputs/order.ts'
import type { SessionRun } from '../../inputs/session.ts'
import { type Check, notEvidenced, type Observation, observation } from '../check.ts'

/**
 * Sequence numbers, the rig's counter and clock times tell one order, and no two runs overlap on one roller set.
 *
 * `met` when they agree; `marginal` when they do not (both orders are then analysed, the less favourable counts);
 * `breached`, as a gate, when two runs overlap in time on one roller set; `not-evidenced` without start times.
 * Basis: measurement-model §8.
 */
export const orderCoherent: Check = {
  name: 'order-coherent',
  compares: 'sequence, counter and clock times; no overlap on one roller set',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  observe: (evidence) => overlapping(evidence) ?? contradicting(evidence) ?? timed(evidence),
}

function overlapping({ session }: Evidence): Observation | null {
  const timedRuns = session.runs
    .flatMap((run) =>
      run.start_s === null ? [] : [{ run, start_s: run.start_s, end_s: run.start_s + duration_s(run) }],
    )
    .toSorted((a, b) => a.start_s - b.start_s)
  const clash = timedRuns.find(({ run, start_s }, index) => {
    const before = timedRuns[index - 1]
    return before !== undefined && before.run.setup.rollers === run.setup.rollers && before.end_s > start_s
  })
  if (clash === undefined) return null
  return observation('breached', {
    runs: [clash.run.id],
    sentence: `Run ${clash.run.id} begins before the one ahead of it on the same rollers has ended.`,
    remedy: 'Put the start times right; two runs cannot share the rollers.',
    severity: 'gate',
  })
}

/** Time from first to last sample; a run without a time channel takes at least a second. [s] */
function duration_s({ channels }: SessionRun): number {
  const time = channels?.time_s
  const [first, last] = [time?.[0], time?.at(-1)]
  return first === undefined || last === undefined ? 1 : Math.max(1, last - first)
}

function contradicting({ session, models }: Evidence): Observation | null {
  const byClock = firstFall(session.runs, ({ start_s }) => start_s)
  const byRig = firstFall(session.runs, ({ wire }) => wire.counter ?? null)
  const fall = byClock ?? byRig
  if (fall === null) return null
  const [earlier, later] = fall.map(({ id }) => id)
  const analysed = models.byClock === null ? 'that moves no measured run' : 'both orders were analysed'
  return observation('marginal', {
    runs: fall.map(({ id }) => id),
    sentence:
      byClock === null
        ? `Order and the rig’s own numbers contradict each other at ${earlier} and ${later}.`
        : `Order and clock contradict each other at ${earlier} and ${later}; ${analysed}.`,
    remedy: 'Put sequence numbers, the rig’s numbers and start times in agreement.',
  })
}

function timed({ session }: Evidence): Observation {
  const missing = session.runs.filter(({ start_s }) => start_s === null)
  if (missing.length === 0) {
    return observation('met', { sentence: 'Sequence, counter and clock tell one order.' })
  }
  return notEvidenced({
    sentence: 'The start time is not recorded for every run.',
    remedy: 'Record the start time of every run with its offset from UTC.',
    runs: missing.map(({ id }) => id),
    evidence: 'from-records',
  })
}
