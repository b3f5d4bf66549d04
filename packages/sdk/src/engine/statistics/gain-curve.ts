import type { Modelled } from './drift-models.ts'
import type { FitScope } from './scalar-fit.ts'
import type { Band, BandOutcome } from './simultaneous-band.ts'

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

/** The gain over a range as it is drawn and printed. */
export interface DrawnGain {
  /** Gain of the main model, or of these mountings. [unit], ln where relative */
  readonly gain: Float64Array
  /** Its limits; null where there is no band. */
  readonly limits: GainCurveLimits | null
  /** The band of the main model behind the limits; null where there is none. */
  readonly band: Band | null
  /** What gain and limits speak of. */
  readonly scope: FitScope
}

/**
 * The gain over a range with the limits that every curve, claim and printed interval takes: of the part; where that cannot be
 * told, of these mountings only.
 *
 * @param modelled the band under every drift model.
 * @returns the gain; null where there is no fit at all. Pure; never throws. Source: measurement-model §5 and §7.
 */
export function drawnGain(modelled: Modelled<BandOutcome>): DrawnGain | null {
  const { main } = modelled
  if (!main.ok) return null
  const { gain, band, asMounted, scope } = main.value
  if (band !== null) {
    const limits = gainCurveLimits(modelled)
    return { gain, limits, band: limits === null ? null : band, scope: limits === null ? 'none' : 'reproducible' }
  }
  if (asMounted === null) return { gain, limits: null, band: null, scope: scope === 'reproducible' ? 'none' : scope }
  const limits = limitsAbout(asMounted.gain, asMounted.band)
  return { gain: asMounted.gain, limits, band: asMounted.band, scope: 'as_mounted_only' }
}

function limitsOf(outcome: BandOutcome): GainCurveLimits | null {
  if (!outcome.ok || outcome.value.band === null) return null
  return limitsAbout(outcome.value.gain, outcome.value.band)
}

function limitsAbout(gain: Float64Array, band: Band): GainCurveLimits {
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
 * Where the curve shows a gain or a loss: the longest runs of grid points whose limits exclude 0.
 *
 * @param limits of the simultaneous band, for which the ranges hold together; or of the pointwise one, each speed for itself.
 * @returns the ranges, from low to high engine speed. Pure; never throws. Source: measurement-model §5.
 */
export function significantRanges({
  low,
  high,
}: {
  readonly low: ArrayLike<number>
  readonly high: ArrayLike<number>
}): readonly SignificantRange[] {
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
