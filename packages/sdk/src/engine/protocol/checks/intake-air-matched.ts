import type { SessionRun } from '../../inputs/session.ts'
import { type Check, graded, limitOf, notEvidenced } from '../check.ts'
import { sideMeansOf } from '../side-means.ts'

/**
 * Both sides breathed air of the same temperature: side means of intake air outside the machine minus cell air, else of
 * cell air. A probe inside the intake tract is never used. [K]
 *
 * `met` up to `limits.sideDifference.met`, `marginal` up to `.marginal`, `breached` above: claims are then undecided.
 * Basis: common practice, no source.
 */
export const intakeAirMatched: Check = {
  name: 'intake-air-matched',
  compares: 'side means of intake air outside the machine minus cell air, else of cell air',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  observe: ({ session }, rule) => {
    const excess = sideMeansOf(session.used, excess_K)
    const means =
      excess.missing.length === 0 ? excess : sideMeansOf(session.used, ({ conditions }) => conditions.cellAir_K)
    if (means.difference === null || means.missing.length > 0) {
      return notEvidenced({
        sentence: 'Air temperature was not read for every run, or only inside the intake tract.',
        remedy: 'Read the air temperature outside the machine, next to the intake, for every run.',
        runs: means.missing,
        evidence: 'repeat',
      })
    }
    const observed = Math.abs(means.difference)
    const what = means === excess ? 'intake air over cell air' : 'cell air'
    return graded({
      observed,
      limit: limitOf(rule, 'sideDifference'),
      sentence: `Side means of ${what} differ by ${observed.toFixed(1)} K.`,
      remedy: 'Keep fan, doors and hot exhaust air alike on both sides, and let the cell cool between runs.',
      runs: session.used.map(({ id }) => id),
    })
  },
}

function excess_K({ conditions }: SessionRun): number | null {
  const { intakeAirOutside_K, cellAir_K } = conditions
  return intakeAirOutside_K === null || cellAir_K === null ? null : intakeAirOutside_K - cellAir_K
}
