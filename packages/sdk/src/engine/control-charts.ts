import type { ControlChart, ControlPoint, StudyScatter } from '../contract/study.ts'
import { listed } from './claims/claim-words.ts'
import { roundSignificant } from './numerics/round-significant.ts'
import { commonSd, controlLimits } from './statistics/control-limits.ts'

/** A study as a control chart takes it. */
export interface ChartedStudy {
  /** Its identity or name. */
  readonly study: string
  /** Date of its record, `YYYY-MM-DD`; null when unknown. */
  readonly on: string | null
  /** What it found. */
  readonly scatter: readonly StudyScatter[]
}

/** Studies from which limits can be relied on. Common practice, no source. */
const ENOUGH_STUDIES = 20

/**
 * Shewhart charts of standard deviations over several studies of one facility: of the runs, and of the mounting means.
 *
 * Each point has limits at its own degrees of freedom; a study without scatter to tell has no point.
 *
 * @param studies in the order of the chart.
 * @returns one chart for each of the two that any study has a point on; numbers rounded to 6 significant digits. Pure; never
 *   throws.
 *
 * Source: ISO 7870-2 (s chart). Tested: tests/studies/control-charts.test.ts.
 */
export function controlCharts(studies: readonly ChartedStudy[]): readonly ControlChart[] {
  return (['runs', 'mounting-means'] as const).flatMap((of) => {
    const found = studies.flatMap(({ study, on, scatter }) =>
      scatter.filter((each) => each.of === of).map((each) => ({ study, on, ...each })),
    )
    return found.length === 0 ? [] : [chartOf(of, found)]
  })
}

type Found = StudyScatter & Pick<ControlPoint, 'study' | 'on'>

function chartOf(of: StudyScatter['of'], found: readonly Found[]): ControlChart {
  const sd = commonSd(found.map(({ relativeSd, degreesOfFreedom }) => ({ sd: relativeSd, dof: degreesOfFreedom })))
  const points = found.map(({ study, on, relativeSd, degreesOfFreedom }): ControlPoint => {
    const limits = controlLimits(sd, degreesOfFreedom)
    const [centre, lower, upper] = [limits.centre, limits.lower, limits.upper].map((limit) => roundSignificant(limit))
    const point = { study, on, relativeSd, degreesOfFreedom }
    const bounds = { centre: centre ?? 0, lower: lower ?? 0, upper: upper ?? 0 }
    return { ...point, ...bounds, isInControl: relativeSd >= bounds.lower && relativeSd <= bounds.upper }
  })
  return { of, relativeSd: roundSignificant(sd), points, sentence: sentenceOf(points) }
}

function sentenceOf(points: readonly ControlPoint[]): string {
  if (points.length < 2) return 'One study so far: a chart begins with the second.'
  const outside = points.filter(({ isInControl }) => !isInControl).map(({ study }) => study)
  const young =
    points.length < ENOUGH_STUDIES ? ` With fewer than ${ENOUGH_STUDIES} studies the limits are provisional.` : ''
  if (outside.length === 0) return `All ${points.length} studies lie within the limits.${young}`
  return `Outside the limits: ${listed(outside)}. Find out what changed before the record is used.${young}`
}
