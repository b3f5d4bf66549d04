import { isBalanced, isScatter, meanOf, mountingMeans, type NestedLayout, squaresAbout } from './nested-layout.ts'
import { nestedReml } from './nested-reml.ts'

/** Where scatter comes from. */
export type ScatterSource = 'repeatability' | 'mounting' | 'day'

/** One component of variance. */
export interface Component {
  readonly source: ScatterSource
  /** The variance, 0 where the data show none. */
  readonly variance: number
  /** Degrees of freedom of the stratum it is seen in. [1] */
  readonly dof: number
}

/** Components of variance of a nested study. */
export interface NestedComponents {
  readonly analysis: 'nested-anova' | 'reml'
  /** The innermost first; the days only where there are several. */
  readonly components: readonly Component[]
}

/**
 * Components of variance of days over mountings over runs.
 *
 * Balanced (D days of k mountings of n runs): mean squares MS_r, MS_m, MS_d on N − J, J − D and D − 1 degrees of freedom;
 * σ_r² = MS_r, σ_m² = (MS_m − MS_r)/n, σ_d² = (MS_d − MS_m)/(n k), a negative one counts as 0. Unbalanced: restricted maximum
 * likelihood. The degrees of freedom are those of the strata in either case.
 *
 * @param layout the study.
 * @returns the components; null where no mounting holds two runs, there is but one mounting, or the runs do not scatter.
 *   Pure; never throws.
 *
 * Source: ISO 5725-3, fully nested experiments; negative estimates: ISO 5725-2. Tested: tests/published/nested-variance.test.ts.
 */
export function nestedComponents(layout: NestedLayout): NestedComponents | null {
  const { runs, mountings, days } = layout
  const within = days.reduce((sum, day) => sum + day.mountings.reduce((own, { squares }) => own + squares, 0), 0)
  if (runs - mountings < 1 || mountings - days.length < 1 || !isScatter(within, runs)) return null

  const dofs = { repeatability: runs - mountings, mounting: mountings - days.length, day: days.length - 1 }
  const isAnova = isBalanced(layout)
  const variances = isAnova ? anovaVariances(layout, within) : nestedReml(layout)
  const sources = (['repeatability', 'mounting', 'day'] as const).filter((source) => dofs[source] > 0)
  return {
    analysis: isAnova ? 'nested-anova' : 'reml',
    components: sources.map((source) => ({ source, variance: variances[source], dof: dofs[source] })),
  }
}

function anovaVariances(
  { days, runs, mountings }: NestedLayout,
  within: number,
): Readonly<Record<ScatterSource, number>> {
  const perMounting = runs / mountings
  const perDay = runs / days.length
  const dayMeans = days.map((day) => meanOf(mountingMeans(day)))
  const betweenMountings = days.reduce((sum, day, d) => sum + squaresAbout(mountingMeans(day), dayMeans[d] ?? 0), 0)
  const meanSquare = {
    runs: within / (runs - mountings),
    mountings: (perMounting * betweenMountings) / (mountings - days.length),
    days: days.length > 1 ? (perDay * squaresAbout(dayMeans, meanOf(dayMeans))) / (days.length - 1) : 0,
  }
  return {
    repeatability: meanSquare.runs,
    mounting: Math.max(0, (meanSquare.mountings - meanSquare.runs) / perMounting),
    day: Math.max(0, (meanSquare.days - meanSquare.mountings) / perDay),
  }
}
