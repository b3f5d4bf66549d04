import { appliedFactorFor, factorOf } from '../../evidence/correction.ts'
import type { Evidence } from '../../evidence/evidence.ts'
import type { SessionRun } from '../../inputs/session.ts'
import { type Check, graded, limitOf, notEvidenced } from '../check.ts'
import { sideMeansOf } from '../side-means.ts'

/**
 * The two sides breathed nearly the same air: difference of the side means of the correction factor. [%]
 *
 * With uncorrected figures, and by a standard that asks for more than the air, the factor of UN R85 measures it. `met` up to `limits.sideDifference.met`, `marginal` up to
 * `.marginal`, `breached` above. Basis: common practice, no source; no correction is perfect, so the less it does the better.
 */
export const airClose: Check = {
  name: 'air-close',
  compares: 'difference of the correction factors of the sides',
  statuses: ['met', 'marginal', 'breached', 'not-evidenced'],
  observe: (evidence, rule) => {
    const factors = sideMeansOf(evidence.session.used, (run) => airFactor(evidence, run))
    if (factors.difference === null || factors.baseline === null || factors.missing.length > 0) {
      return notEvidenced({
        sentence: 'The air of the two sides cannot be compared: conditions are missing.',
        remedy: 'Record station pressure, air temperature and relative humidity for every run.',
        runs: factors.missing,
        evidence: 'from-records',
      })
    }
    const observed = (100 * Math.abs(factors.difference)) / factors.baseline
    return graded({
      observed,
      limit: limitOf(rule, 'sideDifference'),
      sentence: `The correction factors of the sides differ by ${observed.toFixed(2)} %.`,
      remedy: 'Measure both sides close together in time, so that the correction has little to do.',
      runs: evidence.session.used.map(({ id }) => id),
    })
  },
}

/** By the standard reported, where it speaks of the air alone; else by UN R85. */
function airFactor({ correction }: Evidence, run: SessionRun): number | null {
  const { wanted } = correction
  const own = wanted === 'none' ? null : factorOf(appliedFactorFor(run, wanted))
  return own ?? factorOf(appliedFactorFor(run, 'un-r85'))
}
