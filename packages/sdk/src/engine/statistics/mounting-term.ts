import { fisherF } from '../numerics/fisher-f.ts'
import { dot, groupMeans, type Layout, sumOfSquaredGroupSums } from './cells.ts'
import type { FitContext } from './fit-context.ts'
import type { FitFlag, NamedComponent } from './fit-terms.ts'

/** How the between-mounting variance was come by. */
export type MountingMode = 'not_needed' | 'declared' | 'declared+session' | 'session_mounting_means' | 'unknown'

/** The mounting term of a fit, and the weights it ends with. */
export interface MountingTerm {
  /** How it was come by. */
  readonly mode: MountingMode
  /** Weights of the estimate: the contrast's, or those of mountings as units. [1] */
  readonly weights: Float64Array
  /** The component; null when there is none or it cannot be known. */
  readonly component: NamedComponent | null
  /** Declared sd and dof, joined with the session's; null unless declared. [unit], [1] */
  readonly sd: number | null
  readonly dof: number | null
  /** What a reader must know. */
  readonly flags: readonly FitFlag[]
}

/** λ_m where mountings are not declared and each holds both sides: it eliminates them. [1] */
export const ELIMINATES_MOUNTINGS = 1e6

/** A mounting weight below this is rounding. [1] */
const NO_WEIGHT = 1e-6

/** Shares of the level: below the first scatter is rounding, below the second it is beyond the rig's resolution. [1] */
const ROUNDING = 1e-9
const RESOLUTION = 0.0005

/** Between-mounting mean square and what goes with it. */
interface MountingScatter {
  /** Mean square of the mounting means about their side's mean; 0 with no degree of freedom. [unit²] */
  readonly meanSquare: number
  /** ν_s. [1] */
  readonly dof: number
  /** Mean over mountings of 1/n. [1] */
  readonly meanInverseSize: number
  /** Mountings of each side. [1] */
  readonly perSide: readonly [number, number]
}

/** Weight of the mounting term, Σ over mountings of (Σ a)²; 0 where it is rounding. [1] */
export function mountWeightOf(weights: Float64Array, { mountingOf, mountingSizes }: Layout): number {
  const weight = sumOfSquaredGroupSums(weights, mountingOf, mountingSizes.length)
  return weight < NO_WEIGHT ? 0 : weight
}

/**
 * The mounting term: not needed, declared (and moderated by the session), seen from mountings as units, or unknown.
 *
 * (a) v_m = [d_m σ_m0² + ν_s max(0, MB − v_r n̄)]/(d_m + ν_s). (b) mountings are the units: a = ±1/(n_k k_side), variance MB (1/k_A + 1/k_B).
 *
 * @param context the fit's context.
 * @param weights weights of the contrast. [1]
 * @returns the term. Pure; never throws. Source: measurement-model §3.5.
 */
export function mountingTerm(context: FitContext, weights: Float64Array): MountingTerm {
  const weight = mountWeightOf(weights, context.layout)
  const none = { weights, component: null, sd: null, dof: null, flags: [] }
  if (weight === 0) return { ...none, mode: 'not_needed' }

  const scatter = mountingScatter(context)
  const { mountRelSd, mountDof } = context.record
  if (mountRelSd !== null && mountDof !== null)
    return declaredTerm(context, weights, weight, scatter, mountRelSd, mountDof)
  if (scatter.dof >= 1) return unitsTerm(context, scatter)
  return { ...none, mode: 'unknown', flags: ['mounting_component_unknown'] }
}

function mountingScatter({ layout, detrended }: FitContext): MountingScatter {
  const { holds, mountingOf, mountingSizes } = layout
  const means = groupMeans(detrended, mountingOf, mountingSizes.length)
  const perSide: [number, number] = [
    holds.filter(([baseline]) => baseline).length,
    holds.filter(([, modified]) => modified).length,
  ]
  const isMixed = holds.some(([baseline, modified]) => baseline && modified)
  const dof = isMixed ? 0 : perSide[0] + perSide[1] - 2
  const squares = ([0, 1] as const).map((side) => {
    const own = means.filter((_, mounting) => holds[mounting]?.[side] === true)
    const centre = own.reduce((sum, mean) => sum + mean, 0) / own.length
    return own.reduce((sum, mean) => sum + (mean - centre) ** 2, 0)
  })
  const inverse = Array.from(mountingSizes, (size) => 1 / size)
  return {
    meanSquare: dof === 0 ? 0 : ((squares[0] ?? 0) + (squares[1] ?? 0)) / dof,
    dof,
    meanInverseSize: inverse.reduce((sum, value) => sum + value, 0) / inverse.length,
    perSide,
  }
}

function declaredTerm(
  { level, repeatability }: FitContext,
  weights: Float64Array,
  weight: number,
  scatter: MountingScatter,
  relSd: number,
  declaredDof: number,
): MountingTerm {
  const declared = (level * relSd) ** 2
  const fromRuns = (repeatability.variance ?? 0) * scatter.meanInverseSize
  const excess = Math.max(0, scatter.meanSquare - fromRuns)
  const dof = declaredDof + scatter.dof
  const variance = (declaredDof * declared + scatter.dof * excess) / dof
  const isAbove =
    scatter.dof >= 1 && scatter.meanSquare > (declared + fromRuns) * fisherF.quantile(0.99, scatter.dof, declaredDof)
  return {
    mode: scatter.dof >= 1 ? 'declared+session' : 'declared',
    weights,
    component: { term: 'mount', variance: variance * weight, dof },
    sd: Math.sqrt(variance),
    dof,
    flags: isAbove ? ['mounting_scatter_above_declared'] : [],
  }
}

function unitsTerm({ layout, level }: FitContext, scatter: MountingScatter): MountingTerm {
  const { mountingOf, mountingSizes, sideOf } = layout
  const weights = Float64Array.from(mountingOf, (mounting, i) => {
    const side = sideOf[i] === 1 ? 1 : 0
    return (side === 1 ? 1 : -1) / ((mountingSizes[mounting] ?? 1) * scatter.perSide[side])
  })
  const isRounding = scatter.meanSquare <= (ROUNDING * level) ** 2
  const meanSquare = Math.max(scatter.meanSquare, (RESOLUTION * level) ** 2)
  const weight = 1 / scatter.perSide[0] + 1 / scatter.perSide[1]
  return {
    mode: 'session_mounting_means',
    weights,
    component: isRounding ? null : { term: 'mount', variance: meanSquare * weight, dof: scatter.dof },
    sd: null,
    dof: null,
    flags: isRounding ? ['zero_variance'] : scatter.dof === 1 ? ['mounting_dof_1'] : [],
  }
}

/** Variance of a term that is one number times the sum of the weights within groups. */
export function squaredProjection(weights: Float64Array, shape: Float64Array): number {
  return dot(weights, shape) ** 2
}
