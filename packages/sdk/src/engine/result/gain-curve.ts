import type { CurveBand, GainCurve, SignificantRange } from '../../contract/result.ts'
import { bandInputOf } from '../claims/answer.ts'
import { lnToPercent } from '../claims/interval-view.ts'
import type { Evidence } from '../evidence/evidence.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import { modelledBand } from '../statistics/drift-models.ts'
import { meanCurve } from '../statistics/peak.ts'
import type { Band, GainBand } from '../statistics/simultaneous-band.ts'

const SCOPES = { reproducible: 'reproducible', as_mounted_only: 'as-mounted', none: 'none' } as const

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
  const modelled = modelledBand(bandInput, models)
  if (!modelled.main.ok) return null

  const others = modelled.others.flatMap((outcome) => (outcome.ok ? outcome.value : []))
  const shown = shownBands(modelled.main.value, others)
  const simultaneous = hullOf(shown.bands, ({ critical }) => critical)
  const mean = (side: 0 | 1) => kilowatts(meanCurve(curves.power.filter((_, i) => input.sides[i] === side)))
  return {
    engineSpeed_rpm: [...engineSpeed_rpm],
    baseline_kW: mean(0),
    modified_kW: mean(1),
    gain_percent: percents(shown.gain),
    pointwise: hullOf(shown.bands, ({ pointwiseFactor }) => pointwiseFactor),
    simultaneous,
    scope: shown.scope,
    significant: simultaneous === null ? [] : significantRanges(simultaneous, engineSpeed_rpm),
  }
}

interface ShownBands {
  readonly gain: Float64Array
  readonly bands: readonly { readonly gain: Float64Array; readonly band: Band }[]
  readonly scope: GainCurve['scope']
}

function shownBands(main: GainBand, others: readonly GainBand[]): ShownBands {
  if (main.band !== null) {
    const bands = [main, ...others].flatMap(({ gain, band }) => (band === null ? [] : [{ gain, band }]))
    return { gain: main.gain, bands, scope: 'reproducible' }
  }
  if (main.asMounted !== null) return { gain: main.asMounted.gain, bands: [main.asMounted], scope: 'as-mounted' }
  return { gain: main.gain, bands: [], scope: SCOPES[main.scope === 'reproducible' ? 'none' : main.scope] }
}

/** Lower and upper curve over all models; null where no model has a band. */
function hullOf(bands: ShownBands['bands'], factor: (band: Band) => number): CurveBand | null {
  const [first] = bands
  if (first === undefined) return null
  const ends = (sign: 1 | -1) =>
    first.gain.map((_, i) => {
      const values = bands.map(({ gain, band }) => (gain[i] ?? 0) + sign * factor(band) * (band.u[i] ?? 0))
      return sign < 0 ? Math.min(...values) : Math.max(...values)
    })
  return { low: percents(ends(-1)), high: percents(ends(1)) }
}

/** Maximal runs of grid points where the band excludes zero. */
function significantRanges({ low, high }: CurveBand, engineSpeed_rpm: Float64Array): readonly SignificantRange[] {
  const kinds = low.map((value, i) => (value > 0 ? 'gain' : (high[i] ?? 0) < 0 ? 'loss' : null))
  const ranges: SignificantRange[] = []
  kinds.forEach((kind, i) => {
    if (kind === null) return
    const at = engineSpeed_rpm[i] ?? 0
    const last = ranges.at(-1)
    if (last !== undefined && kinds[i - 1] === kind) ranges[ranges.length - 1] = { ...last, to_rpm: at }
    else ranges.push({ kind, from_rpm: at, to_rpm: at })
  })
  return ranges
}

function percents(logs: Float64Array): number[] {
  return Array.from(logs, (log) => roundSignificant(lnToPercent(log)))
}

function kilowatts(watts: Float64Array): number[] {
  return Array.from(watts, (value) => roundSignificant(value / 1000))
}
