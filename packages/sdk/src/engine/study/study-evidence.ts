import { comparisonOfStudy } from '../../contract/read-study.ts'
import type { Study } from '../../contract/study.ts'
import { type Evidence, evidenceOf } from '../evidence/evidence.ts'
import { sessionFigure } from '../evidence/figures.ts'
import { rpmOf } from '../evidence/subject.ts'
import { readSession } from '../inputs/session.ts'
import type { RunnableProtocol } from '../protocol/define-protocol.ts'
import { type RangeProblem, rangeOf } from '../statistics/grid.ts'
import { type LocalStudy, localStudy } from '../statistics/local-study.ts'
import { type NestedLayout, nestedLayout } from '../statistics/nested-layout.ts'
import { leftOutByChoice } from './left-out.ts'

/** The band of a study. [rpm] */
export interface Band {
  readonly from_rpm: number
  readonly to_rpm: number
}

/** The figures of a study: one number per used run. */
export interface BandMeans {
  /** Mean power over the band. [W] */
  readonly power_W: Float64Array
  /** ln of it. [1] */
  readonly log: Float64Array
  /** Mounting of each run. */
  readonly mountings: readonly string[]
  /** Days over mountings over runs. */
  readonly layout: NestedLayout
  /** Local noise over the band; null where no mounting holds two runs. */
  readonly local: LocalStudy | null
}

/** What a study is judged from. */
export interface StudyEvidence {
  readonly study: Study
  /** The runs as a comparison's evidence, all of one side. */
  readonly evidence: Evidence
  readonly band: Band
  /** Day of each used run's mounting: that of its first run; null where it is not recorded. */
  readonly days: readonly (string | null)[]
  /** Measured runs left out by somebody's choice, not by what a rule sees in them. */
  readonly leftOutByChoice: readonly string[]
  /** One figure per run, or why there is none. */
  readonly figures: BandMeans | RangeProblem | 'no curve' | 'no power' | 'no runs'
}

/**
 * What a study is judged from: its curves are made by the code that makes those of a comparison.
 *
 * @param study a study that `readStudy` accepted.
 * @param protocol whose checks look at the runs that are left out.
 * @returns the evidence. Pure; never throws on weak evidence.
 */
export function studyEvidence(study: Study, protocol: RunnableProtocol): StudyEvidence {
  const comparison = comparisonOfStudy(study)
  const evidence = evidenceOf(readSession(comparison))
  const band = { from_rpm: rpmOf(study.band.from), to_rpm: rpmOf(study.band.to) }
  const days = daysOf(evidence)
  const chosen = leftOutByChoice(comparison, protocol)
  return { study, evidence, band, days, leftOutByChoice: chosen, figures: figuresOf(evidence, band, days) }
}

/** A machine that stays strapped down over night is still in the mounting of the first day. */
function daysOf({ session }: Evidence): readonly (string | null)[] {
  const first = new Map<string, string | null>()
  for (const { mounting, day } of session.used) if (!first.has(mounting)) first.set(mounting, day)
  return session.used.map(({ mounting }) => first.get(mounting) ?? null)
}

function figuresOf(evidence: Evidence, band: Band, days: readonly (string | null)[]): StudyEvidence['figures'] {
  const { session, curves, correction } = evidence
  if (session.used.length === 0) return 'no runs'
  if (curves === null) return session.used.some((run) => !evidence.traces.get(run)?.curve) ? 'no curve' : 'not covered'
  const subject = { kind: 'band-mean', quantity: 'power', ...band } as const
  const { values, problem } = sessionFigure(session, curves, correction.toJudged, subject)
  if (problem !== null) return problem === 'range too narrow' ? problem : 'not covered'
  if (!values.every((value) => value > 0)) return 'no power'

  const mountings = session.used.map(({ mounting }) => mounting)
  const log = values.map(Math.log)
  const known = days.flatMap((day) => day ?? [])
  const layout = nestedLayout({ values: log, mountings, days: known.length < days.length ? null : known })
  return { power_W: values, log, mountings, layout, local: localOf(evidence, band, mountings) }
}

/** Local noise inside the band. Source: measurement-model §9.3. */
function localOf({ curves }: Evidence, { from_rpm, to_rpm }: Band, mountings: readonly string[]): LocalStudy | null {
  const range = curves === null ? 'not covered' : rangeOf(curves.grid, from_rpm, to_rpm)
  if (curves === null || typeof range === 'string' || new Set(mountings).size === mountings.length) return null
  const inBand = (values: Float64Array) => values.slice(range.first, range.last + 1)
  return localStudy({
    curves: curves.power.map(inBand),
    engineSpeed_rpm: inBand(curves.grid.engineSpeed_rpm),
    mountings,
  })
}
