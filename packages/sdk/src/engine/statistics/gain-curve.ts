import type { Modelled } from './drift-models.ts'
import type { BandOutcome } from './simultaneous-band.ts'

/** The gain over engine speed with the limits that are drawn, the hull over all drift models at each speed. */
export interface GainCurveLimits {
  /** Gain of the main model. [unit], ln where relative */
  readonly gain: Float64Array
  /** Limits of the simultaneous band. [unit], ln where relative */
  readonly low: Float64Array
  readonly high: Float64Array
  /** Limits speed by speed. [unit], ln where relative */
  readonly pointwiseLow: Float64Array
  readonly pointwiseHigh: Float64Array
}

/** Neighbouring grid points over which the gain has one proven sign; first and last index included. */
export interface SignificantRange {
  readonly sign: 'gain' | 'loss'
  readonly first: number
  readonly last: number
}

/**
 * Limits of the gain curve: D(r) ± c u(r) and D(r) ± t u(r), at each speed the widest of all drift models.
 *
 * @param modelled the band under every drift model.
 * @returns the limits; null where the main model has no band, or another model has none to widen it with. Pure; never throws.
 *
 * Source: measurement-model §5 and §7, hull. Tested: tests/engine/statistics.
 */
export function gainCurveLimits({ main, others }: Modelled<BandOutcome>): GainCurveLimits | null {
  const all = [main, ...others].map(limitsOf)
  const [first, ...rest] = all
  if (first === undefined || first === null) return null
  return rest.reduce<GainCurveLimits | null>(
    (hull, other) => (hull === null || other === null ? null : widened(hull, other)),
    first,
  )
}

function limitsOf(outcome: BandOutcome): GainCurveLimits | null {
  if (!outcome.ok || outcome.value.band === null) return null
  const { gain, band } = outcome.value
  const offset = (factor: number) => gain.map((value, i) => value + factor * (band.u[i] ?? Number.NaN))
  return {
    gain,
    low: offset(-band.critical),
    high: offset(band.critical),
    pointwiseLow: offset(-band.pointwiseFactor),
    pointwiseHigh: offset(band.pointwiseFactor),
  }
}

function widened(hull: GainCurveLimits, other: GainCurveLimits): GainCurveLimits {
  const lower = (a: Float64Array, b: Float64Array) => a.map((value, i) => Math.min(value, b[i] ?? Number.NaN))
  const upper = (a: Float64Array, b: Float64Array) => a.map((value, i) => Math.max(value, b[i] ?? Number.NaN))
  return {
    gain: hull.gain,
    low: lower(hull.low, other.low),
    high: upper(hull.high, other.high),
    pointwiseLow: lower(hull.pointwiseLow, other.pointwiseLow),
    pointwiseHigh: upper(hull.pointwiseHigh, other.pointwiseHigh),
  }
}

/**
 * Where the curve shows a gain or a loss: the longest runs of grid points whose simultaneous band excludes 0.
 *
 * @param limits of the gain curve.
 * @returns the ranges, from low to high engine speed. Pure; never throws. Source: measurement-model §5.
 */
export function significantRanges({ low, high }: Pick<GainCurveLimits, 'low' | 'high'>): readonly SignificantRange[] {
  const signs = Array.from(low, (value, i) => (value > 0 ? 'gain' : (high[i] ?? 0) < 0 ? 'loss' : null))
  const ranges: SignificantRange[] = []
  signs.forEach((sign, index) => {
    if (sign === null) return
    const last = ranges.at(-1)
    if (last !== undefined && last.sign === sign && last.last === index - 1)
      ranges[ranges.length - 1] = { ...last, last: index }
    else ranges.push({ sign, first: index, last: index })
  })
  return ranges
}
