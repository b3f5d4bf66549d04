import { fallingRoot } from '../numerics/falling-root.ts'
import { studentT } from '../numerics/student-t.ts'

/** One independent variance of an estimate with its degrees of freedom. */
export interface VarianceComponent {
  /** Variance. [unit²], at or above 0 */
  readonly variance: number
  /** Degrees of freedom. [1], above 0; 1e9 stands for infinite */
  readonly dof: number
}

/** How components of unequal knowledge are joined: Welch-Satterthwaite, or Howe's sum of squared half-widths. */
export type IntervalRule = 'ws' | 'howe'

/** A 95 % interval about an estimate. */
export interface IntervalEstimate {
  /** Rule that joined the components. */
  readonly rule: IntervalRule
  /** Combined standard uncertainty. [unit] */
  readonly u: number
  /** Effective degrees of freedom: Welch-Satterthwaite, or those whose t gives Howe's coverage factor. [1] */
  readonly dof: number
  /** Coverage factor, half-width over u. [1] */
  readonly k: number
  /** Lower end. [unit] */
  readonly low: number
  /** Upper end. [unit] */
  readonly high: number
}

/** Two-sided 95 %. [1] */
const UPPER = 0.975

/** A component below this share of the variance cannot force Howe's rule. [1] */
const NEGLIGIBLE_SHARE = 0.001

/** Fewest degrees of freedom that Welch-Satterthwaite is trusted with. [1] */
const FEWEST_DOF = 4

/** Reported degrees of freedom of Howe's rule stop here. [1] */
const MOST_HOWE_DOF = 1e6

/** Every p below this is written as this. [1] */
export const SMALLEST_P = 1e-9

/** Sum of the variances; compensated order is that of the components. */
export function totalVariance(components: readonly VarianceComponent[]): number {
  return components.reduce((sum, { variance }) => sum + variance, 0)
}

/**
 * The rule that joins components: Welch-Satterthwaite where every component that matters has 4 or more degrees of
 * freedom and Howe is not forced, else Howe.
 */
export function ruleFor(components: readonly VarianceComponent[], isHoweForced: boolean): IntervalRule {
  const total = totalVariance(components)
  const isKnown = components.every(({ variance, dof }) => variance <= NEGLIGIBLE_SHARE * total || dof >= FEWEST_DOF)
  return isKnown && !isHoweForced ? 'ws' : 'howe'
}

/**
 * The 95 % interval of an estimate from its variance components.
 *
 * ws: ν = u⁴ / Σ(v_j²/ν_j), D ± t(0.975, ν) u. howe: half-width = √Σ t(0.975, ν_j)² v_j.
 *
 * @param estimate D. [unit]
 * @param components independent variances. [unit²]
 * @param isHoweForced whether a component rests on assumed or network values.
 * @returns the interval; null when all variances are 0. Pure; never throws.
 *
 * Source: JCGM 100 G.4; W. G. Howe, J. Am. Stat. Assoc. 69 (1974) 789 (from memory); measurement-model §3.6.
 */
export function intervalOf(
  estimate: number,
  components: readonly VarianceComponent[],
  isHoweForced: boolean,
): IntervalEstimate | null {
  const variance = totalVariance(components)
  if (!(variance > 0)) return null

  const u = Math.sqrt(variance)
  const rule = ruleFor(components, isHoweForced)
  const k =
    rule === 'ws' ? studentT.quantile(UPPER, effectiveDof(components)) : howeHalfWidth(components, 1 - UPPER) / u
  const dof = rule === 'ws' ? effectiveDof(components) : dofOfCoverageFactor(k)
  return { rule, u, dof, k, low: estimate - k * u, high: estimate + k * u }
}

/**
 * Effective degrees of freedom of a sum of variances.
 *
 * ν = (Σ v_j)² / Σ(v_j²/ν_j).
 *
 * @param components at least one variance above 0.
 * @returns ν. [1] Source: JCGM 100 G.4.1, Welch-Satterthwaite. Tested: tests/published.
 */
export function effectiveDof(components: readonly VarianceComponent[]): number {
  const variance = totalVariance(components)
  return variance ** 2 / components.reduce((sum, { variance: v, dof }) => sum + (v * v) / dof, 0)
}

/** √Σ t(α, ν_j)² v_j; the lower quantile, whose small α keeps its digits. */
function howeHalfWidth(components: readonly VarianceComponent[], alpha: number): number {
  return Math.sqrt(
    components.reduce((sum, { variance, dof }) => sum + studentT.quantile(alpha, dof) ** 2 * variance, 0),
  )
}

/** ν with t(0.975, ν) = k. */
function dofOfCoverageFactor(k: number): number {
  if (studentT.quantile(UPPER, MOST_HOWE_DOF) >= k) return MOST_HOWE_DOF
  const excess = (logDof: number) => Math.log(studentT.quantile(UPPER, Math.exp(logDof)) / k)
  return Math.exp(fallingRoot(excess, Math.log(1e-2), Math.log(MOST_HOWE_DOF)))
}

/**
 * One-sided p of "the true gain is at most x".
 *
 * ws: P(t_ν > (D − x)/u). howe: the α in (0, 0.5] with Σ t(1 − α, ν_j)² v_j = (D − x)², and 1 − α where D < x.
 *
 * @param difference D − x. [unit]
 * @param components independent variances, at least one above 0. [unit²]
 * @param rule that joins them.
 * @returns p. [1], 1e-9 to 1
 *
 * Source: measurement-model §3.6.
 */
export function oneSidedP(difference: number, components: readonly VarianceComponent[], rule: IntervalRule): number {
  const p =
    rule === 'ws'
      ? studentT.sf(difference / Math.sqrt(totalVariance(components)), effectiveDof(components))
      : howeP(difference, components)
  return Math.max(p, SMALLEST_P)
}

function howeP(difference: number, components: readonly VarianceComponent[]): number {
  if (difference === 0) return 0.5
  const logAlpha = fallingRoot(
    (log) => Math.log(howeHalfWidth(components, Math.exp(log)) / Math.abs(difference)),
    Math.log(SMALLEST_P / 10),
    Math.log(0.5 - 1e-12),
  )
  const alpha = Math.exp(logAlpha)
  return difference > 0 ? alpha : 1 - alpha
}
