import type { Interval } from '../../contract/result.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import { drawnGain } from '../statistics/gain-curve.ts'
import type { ClaimAnswer } from './answer.ts'
import { NO_INTERVAL, type Printed, SCOPES } from './interval-view.ts'

/** The simultaneous band at the speed that a claim turns on. */
export interface BandIntervals {
  /** Of the part; estimate only where there is no band. */
  readonly interval: Interval
  /** Of these mountings only; null where the interval of the part stands, or there is none. */
  readonly asMounted: Interval | null
}

/**
 * The interval shown beside a claim about a range: the simultaneous band, widest of all drift models, at the speed where the
 * gain is smallest; for "up to" where it is largest.
 *
 * @param answer with a band.
 * @param shape of the claim.
 * @param printed to the unit of the claim.
 * @param scale unit of the claim per unit of the analysis.
 * @returns the intervals. Pure; never throws. Source: measurement-model §5 and §7.
 */
export function bandIntervalView(
  { band }: ClaimAnswer,
  shape: 'everywhere' | 'anywhere',
  printed: Printed,
  scale: number,
): BandIntervals {
  const drawn = band === null ? null : drawnGain(band)
  if (band === null || drawn === null || !band.main.ok) return { interval: NO_INTERVAL, asMounted: null }
  const { gain, limits, band: uncertainty, scope } = drawn
  const index = gain.indexOf(shape === 'everywhere' ? Math.min(...gain) : Math.max(...gain))
  const at = (values: Float64Array) => roundSignificant(printed(values[index] ?? Number.NaN))
  const bare: Interval = {
    ...NO_INTERVAL,
    estimate: at(gain),
    scope: SCOPES[scope],
    twoDriftModels: band.hasTwoDriftModels,
  }
  if (limits === null || uncertainty === null) return { interval: bare, asMounted: null }

  const { fit } = band.main.value
  const rule = (scope === 'reproducible' ? fit.interval : fit.asMounted)?.rule
  const full: Interval = {
    ...bare,
    low: at(limits.low),
    high: at(limits.high),
    standardUncertainty: roundSignificant((uncertainty.u[index] ?? Number.NaN) * scale),
    coverageFactor: roundSignificant(uncertainty.critical),
    degreesOfFreedom: roundSignificant(uncertainty.pointwiseDof),
    rule: rule === 'howe' ? 'howe' : 'welch-satterthwaite',
  }
  return scope === 'reproducible' ? { interval: full, asMounted: null } : { interval: bare, asMounted: full }
}
