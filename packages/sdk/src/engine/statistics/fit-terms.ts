import type { VarianceComponent } from './interval.ts'

/** Name of a term of the budget. */
export type TermName = 'repeat' | 'drift' | 'warm_up' | 'ambient' | 'day' | 'mount'

/** One term of the budget with its name. */
export interface NamedComponent extends VarianceComponent {
  readonly term: TermName
}

/** What a reader must know of a fit. */
export type FitFlag =
  | 'ambient_not_evidenced'
  | 'drift_detected'
  | 'noisier_than_facility'
  | 'zero_variance'
  | 'mounting_scatter_above_declared'
  | 'mounting_dof_1'
  | 'mounting_component_unknown'
  | 'between_day_component_unknown'
