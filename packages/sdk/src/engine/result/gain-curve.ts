import type { CurveBand, GainCurve, SignificantRange } from '../../contract/result.ts'
import { bandInputOf } from '../claims/answer.ts'
import { lnToPercent, SCOPES } from '../claims/interval-view.ts'
import type { Evidence } from '../evidence/evidence.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import { modelledBand } from '../statistics/drift-models.ts'
import { drawnGain, significantRanges } from '../statistics/gain-curve.ts'
import { meanCurve } from '../statistics/peak.ts'

/**
 * The relative gain over the whole common range, with pointwise and simultaneous band: of the part, or where that cannot be
 * told of these mountings only.
 *
 * @param evidence the evidence.
 * @returns the curve; null where the runs share no curve. Pure; never throws. Source: measurement-model §5.
 */
export function gainCurve({ curves, input, models }: Evidence): GainCurve | null {
  if (curves === null) return null
  const { engineSpeed_rpm } = curves.grid
  const [from_rpm, to_rpm] = [engineSpeed_rpm[0] ?? 0, engineSpeed_rpm.at(-1) ?? 0]
  const bandInput = bandInputOf({ curves, from_rpm, to_rpm, isRelative: true }, input)
  if (typeof bandInput === 'string') return null
  const drawn = drawnGain(modelledBand(bandInput, models))
  if (drawn === null) return null

  const { limits } = drawn
  const simultaneous = limits === null ? null : bandOf(limits.low, limits.high)
  const pointwise = limits === null ? null : bandOf(limits.pointwiseLow, limits.pointwiseHigh)
  const mean = (side: 0 | 1) => kilowatts(meanCurve(curves.power.filter((_, i) => input.sides[i] === side)))
  return {
    engineSpeed_rpm: [...engineSpeed_rpm],
    baseline_kW: mean(0),
    modified_kW: mean(1),
    gain_percent: percents(drawn.gain),
    pointwise,
    simultaneous,
    scope: SCOPES[drawn.scope],
    significant: rangesOf(simultaneous, engineSpeed_rpm),
    significantPointwise: rangesOf(pointwise, engineSpeed_rpm),
  }
}

function bandOf(low: Float64Array, high: Float64Array): CurveBand {
  return { low: percents(low), high: percents(high) }
}

/** Judged as printed: a limit that is rounded to zero does not exclude it. */
function rangesOf(band: CurveBand | null, engineSpeed_rpm: Float64Array): readonly SignificantRange[] {
  if (band === null) return []
  return significantRanges(band).map(({ sign, first, last }) => ({
    kind: sign,
    from_rpm: engineSpeed_rpm[first] ?? 0,
    to_rpm: engineSpeed_rpm[last] ?? 0,
  }))
}

function percents(logs: Float64Array): number[] {
  return Array.from(logs, (log) => roundSignificant(lnToPercent(log)))
}

function kilowatts(watts: Float64Array): number[] {
  return Array.from(watts, (value) => roundSignificant(value / 1000))
}
