import type { RegisteredPlan, Registration } from '../../contract/plan.ts'

/**
 * Whether the runs of a comparison were registered before they were made.
 *
 * `none` without a plan, or when the log does not show the plan before every run and the runs without a gap; `amended` when
 * a version was logged after the first run; else `pre-registered`. Pure; never throws. Source: measurement-model §10.
 */
export function registrationOf(plan: RegisteredPlan | undefined): Registration {
  if (plan === undefined || plan.runs.length === 0) return 'none'
  const isPlanFirst = plan.runs.every(({ number, logIndex }, index) => number === index + 1 && logIndex > plan.logIndex)
  if (!isPlanFirst) return 'none'
  return plan.amendments.some(({ afterFirstRun }) => afterFirstRun) ? 'amended' : 'pre-registered'
}
