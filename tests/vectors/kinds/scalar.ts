import type { SideIndex } from '../../../packages/sdk/src/engine/statistics/cells.ts'
import type { FitFlag, NamedComponent } from '../../../packages/sdk/src/engine/statistics/fit-terms.ts'
import type { ScalarFit } from '../../../packages/sdk/src/engine/statistics/scalar-fit.ts'
import { scalarInterval } from '../../../packages/sdk/src/engine/statistics/scalar-interval.ts'
import { recordOf, type VectorRecord } from './record.ts'

interface ScalarVector {
  readonly y: number[]
  readonly side: SideIndex[]
  readonly mount: string[]
  readonly t: number[]
  readonly cf: (number | null)[]
  readonly day: (string | number)[] | null
  readonly facility: VectorRecord | null
  readonly band_width_rpm: number
  readonly relative: boolean
}

/** Kind `scalar`. */
export function scalar(input: ScalarVector): unknown {
  const outcome = scalarInterval({
    values: Float64Array.from(input.y),
    sides: input.side,
    mountings: input.mount,
    t: Float64Array.from(input.t),
    factors: input.cf,
    days: input.day,
    record: recordOf(input.facility),
    width_rpm: input.band_width_rpm,
    isRelative: input.relative,
    hasWarmUpTerm: input.facility?.warm_up === true,
    isOrderKnown: true,
  })
  if (!outcome.ok) return { error: outcome.reason === 'record-invalid' ? 'validation' : outcome.reason }
  return { ...inVectorWords(outcome.fit), ...(input.relative ? inPercent(outcome.fit) : {}) }
}

function inVectorWords(fit: ScalarFit): Record<string, unknown> {
  return {
    P0: fit.level,
    drift: { slope: fit.drift.slope, z: fit.drift.z, p: fit.drift.p, flag: fit.drift.isDetected },
    bracketed: fit.isBracketed,
    nu_within: fit.dofWithin,
    s_r: fit.repeatability.variance === null ? null : Math.sqrt(fit.repeatability.variance),
    nu_r: fit.repeatability.dof,
    mode_r: fit.repeatability.mode,
    s_m: fit.mountSd,
    nu_m: fit.mountDof,
    mode_m: fit.mountMode,
    flags: [...fit.flags] satisfies FitFlag[],
    contrast: [...fit.weights],
    c_r: fit.repeatWeight,
    c_m: fit.mountWeight,
    c_d: fit.driftWeight,
    estimate: fit.estimate,
    scope: fit.scope,
    components: fit.scope === 'none' ? null : byName(fit.components),
    ci: intervalWords(fit.interval),
    as_mounted: intervalWords(fit.asMounted),
  }
}

function byName(components: readonly NamedComponent[]): Record<string, unknown> {
  return Object.fromEntries(components.map(({ term, variance, dof }) => [term, { var: variance, dof }]))
}

function intervalWords(interval: ScalarFit['interval']): unknown {
  if (interval === null) return null
  const { rule, u, dof, k, low, high, components } = interval
  return { rule, u, dof, k, lo: low, hi: high, comp: components.map(({ variance, dof: own }) => [variance, own]) }
}

function inPercent(fit: ScalarFit): Record<string, unknown> {
  const percent = (log: number) => 100 * Math.expm1(log)
  const pair = (interval: ScalarFit['interval']) =>
    interval === null ? null : [percent(interval.low), percent(interval.high)]
  return { gain_pct: percent(fit.estimate), ci_pct: pair(fit.interval), as_mounted_pct: pair(fit.asMounted) }
}
