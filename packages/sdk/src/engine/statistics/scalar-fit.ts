import type { DriftCheck } from './drift-check.ts'
import type { FitFlag, NamedComponent } from './fit-terms.ts'
import type { IntervalEstimate } from './interval.ts'
import type { MountingMode } from './mounting-term.ts'
import type { Repeatability } from './repeatability.ts'

/** What an interval covers. */
export type FitScope = 'reproducible' | 'as_mounted_only' | 'none'

/** An interval with the components behind it. */
export interface BudgetedInterval extends IntervalEstimate {
  /** Components, in the order of the method. */
  readonly components: readonly NamedComponent[]
}

/** The answer for these mountings only: every component but the mounting's, about a centre of its own. */
export interface AsMounted extends BudgetedInterval {
  /** Estimated gain of these mountings. [unit] */
  readonly estimate: number
  /** Weights behind it, one per run. [1] */
  readonly weights: Float64Array
}

/** The fit of one figure: estimate, budget, interval and everything they rest on. */
export interface ScalarFit {
  /** |mean of the two side means|, 1 on the logarithmic scale. [unit] */
  readonly level: number
  /** Prior run-to-run standard deviation of the figure, σ_r0. [unit] */
  readonly priorSd: number
  /** Estimated gain, modified minus baseline. [unit], or ln where relative */
  readonly estimate: number
  /** Weights behind it, one per run. [1] */
  readonly weights: Float64Array
  /** Σ a², Σ(Σ_mounting a)², (Σ a t_c)². [1] */
  readonly repeatWeight: number
  readonly mountWeight: number
  readonly driftWeight: number
  /** Trend within the cells. */
  readonly drift: DriftCheck
  /** Whether neither side comes wholly before the other. */
  readonly isBracketed: boolean
  /** Within-cell degrees of freedom, less one after a detected drift. [1] */
  readonly dofWithin: number
  /** Pooled within-cell standard deviation of the runs alone; null with no degree of freedom. [unit] */
  readonly withinSd: number | null
  /** Run-to-run variance. */
  readonly repeatability: Repeatability
  /** Between-mounting standard deviation and dof; null unless declared. [unit] */
  readonly mountSd: number | null
  readonly mountDof: number | null
  /** How the mounting term was come by; null in scope `none`. */
  readonly mountMode: MountingMode | null
  /** Components of the weights in use; empty in scope `none`. */
  readonly components: readonly NamedComponent[]
  /** 95 % interval; null unless the scope is `reproducible` and a variance is known. */
  readonly interval: BudgetedInterval | null
  /** Estimate and interval for these mountings only; null without a run-to-run variance. */
  readonly asMounted: AsMounted | null
  /** What the interval covers. */
  readonly scope: FitScope
  /** What a reader must know. */
  readonly flags: readonly FitFlag[]
}

/** Why there is no fit. */
export interface NoFit {
  /** `side-empty`, `level-zero`, `not-positive` (relative), or `record-invalid`. */
  readonly reason: 'side-empty' | 'level-zero' | 'not-positive' | 'record-invalid'
  /** Record groups concerned. */
  readonly groups: readonly string[]
}

/** A fit, or why there is none. */
export type ScalarOutcome = { readonly ok: true; readonly fit: ScalarFit } | ({ readonly ok: false } & NoFit)
