import { type Check, notEvidenced, observation } from '../check.ts'

/**
 * Factor, temperature and pressure of every run lie inside the range of the standard that is reported.
 *
 * `met` inside; `breached` outside: test air is printed, the figure is not to the standard, the relative gain stands.
 * Basis: the standard's own validity range.
 */
export const airWithinStandard: Check = {
  name: 'air-within-standard',
  compares: 'factor, temperature and pressure against the range of the standard reported',
  statuses: ['met', 'breached', 'not-evidenced', 'not-applicable'],
  isRunCheck: true,
  observe: ({ correction }) => {
    if (correction.wanted === 'none') {
      return observation('not-applicable', { sentence: 'Uncorrected figures are reported; no standard applies.' })
    }
    const unknown = correction.runs.filter(({ wanted }) => wanted?.kind !== 'factor')
    if (unknown.length > 0) {
      const isRefused = unknown.some(({ wanted }) => wanted?.kind === 'refused')
      return notEvidenced({
        sentence: isRefused
          ? 'The standard gives no factor for this engine: boost control may compensate the air already.'
          : 'Pressure, temperature and humidity are not recorded for every run, so there is no factor.',
        remedy: isRefused
          ? 'Report uncorrected figures, and measure both sides in the same air.'
          : 'Record station pressure, air temperature and relative humidity for every run.',
        runs: unknown.map(({ run }) => run.id),
        evidence: 'from-records',
      })
    }
    const outside = correction.runs.flatMap(({ run, wanted }) =>
      wanted?.kind === 'factor' ? wanted.left.map((bound) => ({ run, bound })) : [],
    )
    const [first] = outside
    if (first === undefined) {
      return observation('met', { sentence: 'The air of every run lies inside the range of the standard.' })
    }
    return observation('breached', {
      observed: first.bound.observed,
      limit: first.bound.limit,
      unit: first.bound.unit,
      runs: [...new Set(outside.map(({ run }) => run.id))],
      sentence: `The ${first.bound.quantity} is ${first.bound.side} the range of ${correction.wanted}.`,
      remedy: 'Measure in air inside the range, or report the figure as not to the standard, with the air of the test.',
    })
  },
}
