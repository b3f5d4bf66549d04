import { studentT } from '../numerics/student-t.ts'
import { layoutOf, type SideIndex } from './cells.ts'
import { type BandShape, criticalValue } from './critical-value.ts'
import { type FacilityFigures, NOTHING_DECLARED, WHERE_SILENT } from './facility-record.ts'
import type { IntervalEstimate } from './interval.ts'
import { type LocalNoise, localNoiseOf, noiseProfile } from './local-noise.ts'
import { meanCurve } from './peak.ts'
import type { FitScope, ScalarFit } from './scalar-fit.ts'
import type { ScalarInput } from './scalar-input.ts'
import { scalarInterval } from './scalar-interval.ts'

/** What a band needs: the curves of one range, and what the scalar method asks of the runs. */
export interface BandInput extends Omit<ScalarInput, 'values' | 'width_rpm'> {
  /** Smoothed curves on the grid points of the range, one per run. [unit], above 0 where relative */
  readonly curves: readonly Float64Array[]
  /** The grid points. [rpm] */
  readonly engineSpeed_rpm: Float64Array
  /** The range asked for. [rpm] */
  readonly from_rpm: number
  readonly to_rpm: number
  /** Ends of the whole common grid, over which the tilt between mountings is counted. [rpm] */
  readonly gridStart_rpm: number
  readonly gridEnd_rpm: number
}

/** Uncertainty along the curve, and the critical value of its band. */
export interface Band {
  /** Standard uncertainty of the gain at each grid point. [unit], ln where relative */
  readonly u: Float64Array
  /** Critical value of the two-sided 95 % band. [1] */
  readonly critical: number
  /** What the distribution of the largest deviation depends on. */
  readonly shape: BandShape
  /** Degrees of freedom and coverage factor of a pointwise interval. [1] */
  readonly pointwiseDof: number
  readonly pointwiseFactor: number
}

/** The gain over a range of engine speeds. */
export interface GainBand {
  /** Gain at each grid point. [unit], ln where relative */
  readonly gain: Float64Array
  /** Band of the reproducible gain; null where there is none. */
  readonly band: Band | null
  /** Gain and band for these mountings only; null where the reproducible interval stands, or there is none. */
  readonly asMounted: { readonly gain: Float64Array; readonly band: Band } | null
  /** What the band covers. */
  readonly scope: FitScope
  /** The fit behind its global part. */
  readonly fit: ScalarFit
}

/** A gain band, or why there is none. */
export type BandOutcome =
  | { readonly ok: true; readonly value: GainBand }
  | { readonly ok: false; readonly reason: string }

/** Share of a mounting sd that tilts the curve, where not recorded. */
const tiltSd = (record: FacilityFigures): number =>
  record.mountShapeRelSd ?? WHERE_SILENT.mountShapeOfMount * (record.mountRelSd ?? 0)

/**
 * The gain over a range of engine speeds with a simultaneous band: a part that moves the whole curve and a part along it.
 *
 * D(r) = Σ a_i y_i(r); u(r) = P(r) √(u_G² + u_L²(r)); band D(r) ± c u(r).
 *
 * @param input curves of the range and what is known of the runs.
 * @returns gain and band; the reason where the scalar method gives no fit. Pure; never throws on weak evidence.
 *
 * Source: measurement-model §5. Tested: tests/vectors, band.
 */
export function simultaneousBand(input: BandInput): BandOutcome {
  const { curves, isRelative } = input
  const levels = isRelative ? curves.map((curve) => curve.map(Math.log)) : curves
  const scale = isRelative ? new Float64Array(levels[0]?.length ?? 0).fill(1) : sideMeanLevel(levels, input.sides)
  const relative = isRelative ? levels : levels.map((curve) => curve.map((value, i) => value / (scale[i] ?? 1)))
  const outcome = globalFit(input, relative)
  if (!outcome.ok) return { ok: false, reason: outcome.reason }

  const { fit } = outcome
  const noise = localNoiseOf(relative, layoutOf(input.sides, input.mountings))
  const bandOf = (of: BandGlobal) => localBand(input, of, noise, scale)
  const asMounted = fit.interval === null ? fit.asMounted : null
  const mounted =
    asMounted === null
      ? null
      : bandOf({ ...weightsOf(asMounted.weights), interval: asMounted, hasTilt: false, mountWeight: 0 })
  const hasTilt = fit.mountMode === 'declared' || fit.mountMode === 'declared+session'
  return {
    ok: true,
    value: {
      gain: combined(levels, fit.weights),
      band:
        fit.interval === null
          ? null
          : bandOf({ repeatWeight: fit.repeatWeight, mountWeight: fit.mountWeight, interval: fit.interval, hasTilt }),
      asMounted:
        mounted === null || asMounted === null ? null : { gain: combined(levels, asMounted.weights), band: mounted },
      scope: fit.scope,
      fit,
    },
  }
}

function weightsOf(weights: Float64Array): { repeatWeight: number } {
  return { repeatWeight: weights.reduce((sum, weight) => sum + weight * weight, 0) }
}

/** Mean of the two side mean curves, P(r). [unit] */
function sideMeanLevel(curves: readonly Float64Array[], sides: readonly SideIndex[]): Float64Array {
  const mean = (side: SideIndex) => meanCurve(curves.filter((_, i) => sides[i] === side))
  const [baseline, modified] = [mean(0), mean(1)]
  return baseline.map((value, i) => (value + (modified[i] ?? 0)) / 2)
}

/** Section 3 on the mean of each relative curve with P0 = 1; on the logarithmic scale the curves are logarithms already. */
function globalFit(input: BandInput, relative: readonly Float64Array[]) {
  const means = Float64Array.from(relative, (curve) => curve.reduce((sum, value) => sum + value, 0) / curve.length)
  return scalarInterval({
    ...input,
    values: input.isRelative ? means.map(Math.exp) : means,
    width_rpm: input.to_rpm - input.from_rpm,
    isRelative: input.isRelative,
  })
}

/** Σ a_i y_i(r). */
function combined(curves: readonly Float64Array[], weights: Float64Array): Float64Array {
  const gain = new Float64Array(curves[0]?.length ?? 0)
  curves.forEach((curve, run) => {
    const weight = weights[run] ?? 0
    for (let i = 0; i < gain.length; i++) gain[i] = (gain[i] ?? 0) + weight * (curve[i] ?? 0)
  })
  return gain
}

interface BandGlobal {
  readonly repeatWeight: number
  readonly mountWeight: number
  readonly interval: IntervalEstimate
  readonly hasTilt: boolean
}

function localBand(
  input: BandInput,
  { repeatWeight, mountWeight, interval, hasTilt }: BandGlobal,
  noise: LocalNoise,
  scale: Float64Array,
): Band | null {
  const record = input.record ?? NOTHING_DECLARED
  const width = input.to_rpm - input.from_rpm
  const correlation = record.localCorrelation_rpm ?? WHERE_SILENT.localCorrelation_rpm
  const { variance, dof } = localVariance(record, noise, width, correlation)
  if (variance === null) return null

  const profile = noiseProfile(noise, record, input.engineSpeed_rpm)
  const tilt = hasTilt ? mountWeight * tiltSd(record) ** 2 : 0
  const span = input.gridEnd_rpm - input.gridStart_rpm
  const localSquares = profile.map((w, i) => {
    const x = (2 * (input.engineSpeed_rpm[i] ?? 0) - input.from_rpm - input.to_rpm) / span
    return repeatWeight * variance * w + tilt * x * x
  })
  const meanLocal = localSquares.reduce((sum, value) => sum + value, 0) / localSquares.length
  const hasSlope = noise.dofWithin >= 2 && (noise.variance ?? 0) > 0
  const shape: BandShape = {
    globalU: interval.u,
    globalDof: interval.dof,
    localU: Math.sqrt(meanLocal),
    kappa: hasSlope
      ? Math.max(width * Math.sqrt(noise.slopeVariance / (noise.variance ?? 1)), (0.5 * width) / correlation)
      : width / correlation,
  }
  const [g2, l2] = [interval.u ** 2, meanLocal]
  const pointwiseDof = (g2 + l2) ** 2 / (g2 ** 2 / interval.dof + l2 ** 2 / dof)
  return {
    u: localSquares.map((square, i) => (scale[i] ?? 1) * Math.sqrt(g2 + square)),
    critical: criticalValue(shape, 0.95, 2),
    shape,
    pointwiseDof,
    pointwiseFactor: studentT.quantile(0.975, pointwiseDof),
  }
}

/** v_L = [(d_r l² + n_w n_eff v_l)/ν_L] ν_L/(ν_L − 2); null where ν_L is not above 2. */
function localVariance(record: FacilityFigures, noise: LocalNoise, width: number, correlation: number) {
  const l = record.localRelSd ?? WHERE_SILENT.localRelSd
  const priorDof = record.repeatDof ?? 0
  const effective = Math.max(1, width / (Math.sqrt(Math.PI) * correlation))
  const sessionDof = noise.variance === null ? 0 : noise.dofWithin * effective
  const dof = priorDof + sessionDof
  if (!(dof > 2)) return { variance: null, dof }
  const pooled = (priorDof * l * l + sessionDof * (noise.variance ?? 0)) / dof
  return { variance: (pooled * dof) / (dof - 2), dof }
}
