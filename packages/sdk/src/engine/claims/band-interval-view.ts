import type { Interval } from '../../contract/result.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import type { ClaimAnswer } from './answer.ts'
import { NO_INTERVAL, type Printed } from './interval-view.ts'

/**
 * The interval shown beside a claim about a range: the simultaneous band at the speed where the gain is smallest.
 *
 * @param answer with a band.
 * @param printed to the unit of the claim.
 * @param scale unit of the claim per unit of the analysis.
 * @returns the interval; none where there is no band. Pure; never throws.
 */
export function bandIntervalView({ band, extremes }: ClaimAnswer, printed: Printed, scale: number): Interval {
  if (band === null || !band.main.ok || band.main.value.band === null || extremes === null) return NO_INTERVAL
  const { gain, band: uncertainty, fit } = band.main.value
  const index = gain.indexOf(extremes.smallest.gain)
  const half = (uncertainty.u[index] ?? Number.NaN) * uncertainty.critical
  const estimate = gain[index] ?? Number.NaN
  return {
    estimate: roundSignificant(printed(estimate)),
    low: roundSignificant(printed(estimate - half)),
    high: roundSignificant(printed(estimate + half)),
    standardUncertainty: roundSignificant((uncertainty.u[index] ?? Number.NaN) * scale),
    coverageFactor: roundSignificant(uncertainty.critical),
    degreesOfFreedom: roundSignificant(uncertainty.pointwiseDof),
    rule: fit.interval?.rule === 'howe' ? 'howe' : 'welch-satterthwaite',
    scope: 'reproducible',
    twoDriftModels: band.hasTwoDriftModels,
  }
}
