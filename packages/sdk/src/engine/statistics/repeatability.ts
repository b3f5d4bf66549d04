import { fisherF } from '../numerics/fisher-f.ts'

/** How the run-to-run variance was come by. */
export type RepeatabilityMode =
  | 'moderated'
  | 'session_only_noisier_than_facility'
  | 'session_only'
  | 'zero_variance'
  | 'unavailable'

/** Run-to-run variance of a figure. */
export interface Repeatability {
  /** Variance; null where there is none. [unit²] */
  readonly variance: number | null
  /** Its degrees of freedom; 0 where there is none. [1] */
  readonly dof: number
  /** How it was come by. */
  readonly mode: RepeatabilityMode
}

/** What is known of the run-to-run scatter. */
export interface RepeatabilityInput {
  /** Within-cell sum of squares and its degrees of freedom. [unit²], [1] */
  readonly sumOfSquares: number
  readonly dofWithin: number
  /** The facility's variance and its degrees of freedom; 0 where not declared. [unit²], [1] */
  readonly priorVariance: number
  readonly priorDof: number
  /** Smallest variance that a session alone can show: the resolution of a rig. [unit²] */
  readonly resolutionVariance: number
}

/**
 * Run-to-run variance: the session's, moderated by the facility's where that is declared.
 *
 * v_r = (d_r σ_r0² + SS)/(d_r + ν_w); the session's alone where it is noisier than the facility at the 1 % level.
 *
 * @param input sums of squares and prior.
 * @returns variance, degrees of freedom and mode. Pure; never throws.
 *
 * Source: measurement-model §3.2; moderation as in G. K. Smyth, Stat. Appl. Genet. Mol. Biol. 3 (2004) 3 (from memory).
 */
export function repeatabilityOf({
  sumOfSquares,
  dofWithin,
  priorVariance,
  priorDof,
  resolutionVariance,
}: RepeatabilityInput): Repeatability {
  if (priorDof > 0) {
    const isNoisier =
      dofWithin >= 2 && sumOfSquares / dofWithin > priorVariance * fisherF.quantile(0.99, dofWithin, priorDof)
    if (isNoisier)
      return { variance: sumOfSquares / dofWithin, dof: dofWithin, mode: 'session_only_noisier_than_facility' }
    const dof = priorDof + dofWithin
    return { variance: (priorDof * priorVariance + sumOfSquares) / dof, dof, mode: 'moderated' }
  }
  if (dofWithin < 1) return { variance: null, dof: 0, mode: 'unavailable' }
  if (sumOfSquares === 0) return { variance: null, dof: 0, mode: 'zero_variance' }
  return { variance: Math.max(sumOfSquares / dofWithin, resolutionVariance), dof: dofWithin, mode: 'session_only' }
}
