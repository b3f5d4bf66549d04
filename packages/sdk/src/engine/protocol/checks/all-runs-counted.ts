import { accountedCounters } from '../../evidence/counters.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import { type Check, notEvidenced, type Observation, observation } from '../check.ts'

/**
 * Every number of the rig's own counter, from the first run to the last, has a purpose; no number is used twice.
 *
 * `met` when all are accounted for; `marginal` when a run is left out under the rule `other`, or under one that
 * its own check does not bear out; `breached` when a number is
 * missing or used twice; `not-evidenced` without counters. Basis: measurement-model §8.
 */
export const allRunsCounted: Check = {
  name: 'all-runs-counted',
  compares: 'every counter number from first to last has a purpose; measured runs are used or excluded by rule',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  observe: (evidence) => withoutCounter(evidence) ?? usedTwice(evidence) ?? unaccounted(evidence) ?? leftOut(evidence),
}

function withoutCounter({ session }: Evidence): Observation | null {
  const missing = session.runs.filter(({ wire }) => wire.counter === undefined)
  if (missing.length === 0) return null
  return notEvidenced({
    sentence: 'The rig’s own run number is not recorded for every run.',
    remedy:
      'Give the number the rig gave each run, and list the numbers in between that are no runs of this comparison.',
    runs: missing.map(({ id }) => id),
    evidence: 'from-records',
  })
}

function usedTwice({ session }: Evidence): Observation | null {
  const counters = session.runs.flatMap(({ wire }) => wire.counter ?? [])
  const twice = counters.find((counter, index) => counters.indexOf(counter) !== index)
  if (twice === undefined) return null
  return observation('breached', {
    observed: twice,
    runs: session.runs.filter(({ wire }) => wire.counter === twice).map(({ id }) => id),
    sentence: `Two runs carry the rig’s number ${twice}.`,
    remedy: 'Give each run the number the rig gave it; one recording cannot be two runs.',
  })
}

function unaccounted({ session }: Evidence): Observation | null {
  const { missing } = accountedCounters(session)
  if (missing.length === 0) return null
  return observation('breached', {
    observed: missing.length,
    limit: 0,
    unit: 'numbers',
    sentence: `Nobody says what became of the rig’s numbers ${listed(missing)}.`,
    remedy:
      'List each missing number as a run with its purpose, or under `unlisted`; failed and tuning runs count too.',
  })
}

function leftOut({ session, unborne }: Evidence): Observation {
  const other = (session.comparison.excluded ?? []).filter(({ rule }) => rule === 'other')
  const runs = [...other, ...unborne].map(({ run }) => run)
  if (runs.length === 0) return observation('met', { sentence: 'Every run of the rig’s counter is accounted for.' })
  const unnamed = other.length === 0 ? [] : ['A measured run was left out under no named rule.']
  const unfounded = unborne.map(
    ({ run, rule, check }) =>
      `${run} was left out under the rule ${rule}, which ${check} does not bear out; it counts as left out under none.`,
  )
  return observation('marginal', {
    observed: runs.length,
    limit: 0,
    unit: 'runs',
    runs,
    sentence: [...unnamed, ...unfounded].join(' '),
    remedy: 'Name the rule whose check finds the run, or use the run.',
  })
}

function listed(numbers: readonly number[]): string {
  const shown = numbers.slice(0, 8).join(', ')
  return numbers.length > 8 ? `${shown} and ${numbers.length - 8} more` : shown
}
