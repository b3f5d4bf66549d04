import type { Interval } from '../../contract/result.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import { type Allowance, NO_ALLOWANCE } from '../statistics/allowance.ts'
import type { Modelled } from '../statistics/drift-models.ts'
import type { BudgetedInterval, FitScope, ScalarFit, ScalarOutcome } from '../statistics/scalar-fit.ts'

/** Turns a number of the analysis into the unit it is printed in. */
export type Printed = (value: number) => number

/** ln to %: 100 (e^D − 1). */
export const lnToPercent: Printed = (log) => 100 * Math.expm1(log)

/** No estimate and no interval. */
export const NO_INTERVAL: Interval = {
  estimate: null,
  low: null,
  high: null,
  standardUncertainty: null,
  coverageFactor: null,
  degreesOfFreedom: null,
  rule: null,
  scope: 'none',
  twoDriftModels: false,
}

/** What an interval covers, as it is written. */
export const SCOPES: Readonly<Record<FitScope, Interval['scope']>> = {
  reproducible: 'reproducible',
  as_mounted_only: 'as-mounted',
  none: 'none',
}

/**
 * The printed interval of a fit: estimate and uncertainty of the main model, ends of the hull over all models.
 *
 * @param modelled the fit under every drift model.
 * @param printed to the unit of the interval. The standard uncertainty is printed with the slope 100 for %, else scaled alike.
 * @param scale unit of the interval per unit of the analysis, for the standard uncertainty.
 * @param allowance room that the ends leave beside the uncertainty. [1]
 * @returns the interval; estimate only where there is none, or another model has none to widen it with. Pure; never throws.
 */
export function intervalView(
  { main, others, hasTwoDriftModels }: Modelled<ScalarOutcome>,
  printed: Printed,
  scale: number,
  allowance: Allowance = NO_ALLOWANCE,
): Interval {
  if (!main.ok) return NO_INTERVAL
  const { estimate, interval, scope, level } = main.fit
  const bare = {
    ...NO_INTERVAL,
    estimate: rounded(printed(estimate)),
    scope: SCOPES[scope],
    twoDriftModels: hasTwoDriftModels,
  }
  if (interval === null) return bare
  const widening = others.map((outcome) => (outcome.ok ? outcome.fit.interval : null))
  if (widening.includes(null)) return { ...bare, scope: 'none' }
  const ends = [interval, ...widening.flatMap((other) => other ?? [])]
  return {
    ...bare,
    ...uncertaintyView(interval, scale),
    low: rounded(printed(Math.min(...ends.map(({ low }) => low)) - allowance.down * level)),
    high: rounded(printed(Math.max(...ends.map(({ high }) => high)) + allowance.up * level)),
  }
}

/**
 * The printed interval for these mountings only.
 *
 * @param fit the fit of the main model.
 * @param printed to the unit of the interval.
 * @param scale unit of the interval per unit of the analysis, for the standard uncertainty.
 * @param allowance room that the ends leave beside the uncertainty. [1]
 * @returns the interval; null where there is none. Pure; never throws.
 */
export function asMountedView(
  { asMounted, level }: Pick<ScalarFit, 'asMounted' | 'level'>,
  printed: Printed,
  scale: number,
  allowance: Allowance = NO_ALLOWANCE,
): Interval | null {
  if (asMounted === null) return null
  return {
    ...NO_INTERVAL,
    ...uncertaintyView(asMounted, scale),
    estimate: rounded(printed(asMounted.estimate)),
    low: rounded(printed(asMounted.low - allowance.down * level)),
    high: rounded(printed(asMounted.high + allowance.up * level)),
    scope: 'as-mounted',
  }
}

function uncertaintyView({ u, k, dof, rule }: BudgetedInterval, scale: number) {
  return {
    standardUncertainty: rounded(u * scale),
    coverageFactor: rounded(k),
    degreesOfFreedom: rounded(dof),
    rule: rule === 'ws' ? ('welch-satterthwaite' as const) : ('howe' as const),
  }
}

function rounded(value: number): number {
  return roundSignificant(value)
}
