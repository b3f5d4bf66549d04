import { shareTakenOut, varianceOf } from './facility-study.ts'
import { meanOf, mountingMeans, type NestedLayout, squaresAbout } from './nested-layout.ts'

/** A relative standard deviation for a facility record. */
export interface RecordFigure {
  /** [1], at or above 0 */
  readonly relSd: number
  /** [1] */
  readonly dof: number
}

/** Figures of a facility record from mountings nested in days. */
export interface NestedFigures {
  /** Between mountings of one day. */
  readonly mount: RecordFigure
  /** Between days. */
  readonly day: RecordFigure
}

/**
 * Re-mounting and day figures of a study that tells them apart, each by the rule of facilityStudy one floor up.
 *
 * raw_m = pooled variance of the mounting means within their days, J − D degrees of freedom; mounting variance =
 * max(raw_m − v_r mean(1/m_k), raw_m/2). raw_d = variance of the means of the days' mounting means, D − 1; day variance =
 * max(raw_d − raw_m mean(1/k_d), raw_d/2), k_d = mountings of a day.
 *
 * @param layout several days, at least one of which holds two mountings.
 * @param repeatVariance v_r. [1]
 * @returns the figures. Pure; never throws.
 *
 * Source: measurement-model §9.2, carried to days; ISO 5725-3 for the strata. Tested: tests/engine/statistics/nested-components.test.ts.
 */
export function nestedFigures({ days, mountings }: NestedLayout, repeatVariance: number): NestedFigures {
  const dayMeans = days.map((day) => meanOf(mountingMeans(day)))
  const between = days.reduce((sum, day, d) => sum + squaresAbout(mountingMeans(day), dayMeans[d] ?? 0), 0)
  const dof = mountings - days.length
  const rawMount = between / dof
  const runsShare = repeatVariance * meanOf(days.flatMap((day) => day.mountings.map(({ runs }) => 1 / runs)))
  const mountingsShare = rawMount * meanOf(days.map((day) => 1 / day.mountings.length))
  return {
    mount: { relSd: Math.sqrt(shareTakenOut(rawMount, runsShare)), dof },
    day: {
      relSd: Math.sqrt(shareTakenOut(varianceOf(Float64Array.from(dayMeans)), mountingsShare)),
      dof: days.length - 1,
    },
  }
}
