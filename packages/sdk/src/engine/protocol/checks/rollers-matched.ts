import type { Evidence } from '../../evidence/evidence.ts'
import { type Check, notEvidenced, type Observation, observation } from '../check.ts'
import { sameOnEveryRun } from '../same-on-every-run.ts'

/**
 * Both sides ran on the same roller set of the same facility, in the same state of calibration.
 *
 * `breached` when the roller set differs, or was calibrated between the first and the last run.
 * Basis: common practice, no source.
 */
export const rollersMatched: Check = {
  name: 'rollers-matched',
  compares: 'facility, roller set, calibration',
  statuses: ['met', 'breached', 'not-evidenced'],
  owns: ['setup/rollers', 'rollers/id', 'rollers/calibratedOn'],
  observe: (evidence) => calibratedBetween(evidence) ?? sameRollers(evidence) ?? calibrationKnown(evidence),
}

function rollersOf({ session }: Evidence) {
  const named = new Set(session.used.map(({ setup }) => setup.rollers))
  return (session.comparison.facility?.rollers ?? []).filter(({ id }) => named.has(id))
}

function calibratedBetween(evidence: Evidence): Observation | null {
  const days = evidence.session.used.flatMap(({ day }) => day ?? []).toSorted()
  const [first, last] = [days[0], days.at(-1)]
  const between = rollersOf(evidence).find(
    ({ calibratedOn }) =>
      calibratedOn !== undefined &&
      first !== undefined &&
      last !== undefined &&
      calibratedOn > first &&
      calibratedOn <= last,
  )
  if (between === undefined) return null
  return observation('breached', {
    observed: between.calibratedOn ?? null,
    limit: first ?? null,
    runs: evidence.session.used.map(({ id }) => id),
    sentence: `The roller set was calibrated on ${between.calibratedOn}, after the first run.`,
    remedy: 'Measure both sides again after the calibration.',
  })
}

function sameRollers({ session }: Evidence): Observation | null {
  const same = sameOnEveryRun(
    session.used,
    [
      { name: 'facility', read: () => session.comparison.facility?.id ?? null },
      { name: 'roller set', read: ({ setup }) => setup.rollers ?? null },
    ],
    {
      same: '',
      ifDifferent: 'Measure both sides on one roller set; two rigs do not read alike.',
      ifMissing: 'Name the facility, and the roller set of every run.',
    },
  )
  return same.status === 'met' ? null : same
}

function calibrationKnown(evidence: Evidence): Observation {
  if (rollersOf(evidence).every(({ calibratedOn }) => calibratedOn !== undefined)) {
    return observation('met', { sentence: 'Both sides ran on one roller set in one state of calibration.' })
  }
  return notEvidenced({
    sentence: 'The roller set is the same, but the date of its calibration is not recorded.',
    remedy: 'Give the date on which the roller set was last calibrated.',
    runs: evidence.session.used.map(({ id }) => id),
    evidence: 'from-records',
  })
}
