import type { PastSeries, StudyPrior } from '../../contract/study.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import { FEWEST_SESSIONS, facilityPrior, type PastSession } from '../statistics/facility-prior.ts'
import { isScatter, type NestedLayout } from '../statistics/nested-layout.ts'

/**
 * How alike series of runs are, from the mountings of a study that hold two runs or more and from past series.
 *
 * @param layout the study.
 * @param past series by their figures.
 * @returns the prior; null with fewer than three series that scatter. Pure; never throws.
 *
 * Source: measurement-model §9.1; a mounting of a study is a past series to the next comparison.
 */
export function seriesPrior(layout: NestedLayout, past: readonly PastSeries[]): StudyPrior | null {
  const own = layout.days.flatMap(({ mountings }) =>
    mountings.flatMap(({ runs, squares }): PastSession[] =>
      isScatter(squares, runs) ? [{ relativeVariance: squares / (runs - 1), dof: runs - 1 }] : [],
    ),
  )
  const earlier = past.flatMap(({ relativeSd, degreesOfFreedom }): PastSession[] =>
    isScatter(relativeSd ** 2, 1) ? [{ relativeVariance: relativeSd ** 2, dof: degreesOfFreedom }] : [],
  )
  const series = [...own, ...earlier]
  if (series.length < FEWEST_SESSIONS) return null
  const { relativeVariance, spreadDof, dof } = facilityPrior(series)
  return {
    series: series.length,
    relativeSd: roundSignificant(Math.sqrt(relativeVariance)),
    spreadDegreesOfFreedom: Number.isFinite(spreadDof) ? roundSignificant(spreadDof) : null,
    degreesOfFreedom: roundSignificant(dof),
  }
}
