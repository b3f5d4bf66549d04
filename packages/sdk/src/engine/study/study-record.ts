import type { FacilityRecord, LocalNoise, RecordGroup, RemountingGroup } from '../../contract/facility.ts'
import type { StudyPrior } from '../../contract/study.ts'
import { roundSignificant } from '../numerics/round-significant.ts'
import { type RunsWithin, runsWithinMountings, runToRunSd } from '../statistics/facility-study.ts'
import type { LocalStudy } from '../statistics/local-study.ts'
import type { RecordFigure } from '../statistics/nested-figures.ts'
import { isScatter } from '../statistics/nested-layout.ts'
import { type MountingFigures, mountingFigures } from './mounting-figures.ts'
import { mountingSpacing_min } from './mounting-spacing.ts'
import { type RecordDate, recordDateOf } from './record-date.ts'
import { seriesPrior } from './series-prior.ts'
import type { BandMeans, StudyEvidence } from './study-evidence.ts'

/** The parts of a record and what they were made from. */
export interface StudyRecord {
  /** Scatter of the runs within the mountings; null where none shows. */
  readonly within: RunsWithin | null
  /** How alike series of runs are. */
  readonly prior: StudyPrior | null
  /** Between mountings and days. */
  readonly between: MountingFigures
  /** Date and status. */
  readonly date: RecordDate
  /** The record; null where it would hold no group. */
  readonly record: FacilityRecord | null
}

const NOTHING_BETWEEN: MountingFigures = { mount: null, day: null, isDayInMount: true }

/**
 * The facility record of a study, as far as its runs allow.
 *
 * @param seen evidence of the study.
 * @param figures of its runs.
 * @returns the record with what it was made from; numbers rounded to 6 significant digits. Pure; never throws.
 *
 * Source: measurement-model §9.1 to §9.3. Tested: tests/studies/assess-study.test.ts.
 */
export function studyRecord(seen: StudyEvidence, figures: BandMeans): StudyRecord {
  const { study, band, evidence } = seen
  const width_rpm = band.to_rpm - band.from_rpm
  const found = runsWithinMountings(figures.log, figures.mountings)
  const within = found !== null && isScatter(found.variance, 1) ? found : null
  const prior = seriesPrior(figures.layout, study.past ?? [])
  const between =
    within === null ? NOTHING_BETWEEN : mountingFigures(figures, { repeatVariance: within.variance, width_rpm })
  const date = recordDateOf(seen)
  const groups = {
    ...repeatabilityGroup({ within, prior, local: figures.local, width_rpm }, seen, date),
    ...remountingGroup(between, date, mountingSpacing_min(evidence.session.used, !between.isDayInMount)),
    ...(between.day === null ? {} : { day: groupOf(between.day, date) }),
    ...localNoise(figures.local),
  }
  const record = Object.keys(groups).length === 0 ? null : { ...headOf(seen, date), ...groups }
  return { within, prior, between, date, record }
}

function headOf({ study }: StudyEvidence, { on }: RecordDate): FacilityRecord {
  return {
    ...(study.name === undefined ? {} : { study: study.name }),
    ...(on === null ? {} : { on }),
    appliesTo: study.appliesTo,
  }
}

function groupOf({ relSd, dof }: RecordFigure, { status }: RecordDate): RecordGroup {
  return { relativeSd: roundSignificant(relSd), degreesOfFreedom: roundSignificant(dof), status }
}

interface Repeatability {
  readonly within: RunsWithin | null
  readonly prior: StudyPrior | null
  readonly local: LocalStudy | null
  readonly width_rpm: number
}

/** g of §9.2 on the degrees of freedom of §9.1. Past series that are figures alone were seen by nobody here. */
function repeatabilityGroup(
  { within, prior, local, width_rpm }: Repeatability,
  { study }: StudyEvidence,
  date: RecordDate,
): Pick<FacilityRecord, 'repeatability'> {
  if (within === null || prior === null) return {}
  const noise = { localRelSd: local?.localRelSd ?? 0, localCorrelation_rpm: local?.localCorrelation_rpm ?? 1 }
  const relSd = runToRunSd(within.variance, { width_rpm, ...noise })
  const group = groupOf({ relSd, dof: prior.degreesOfFreedom }, date)
  return { repeatability: (study.past ?? []).length === 0 ? group : { ...group, status: 'declared' } }
}

function remountingGroup(
  { mount }: MountingFigures,
  date: RecordDate,
  spacing_min: number | null,
): Pick<FacilityRecord, 'remounting'> {
  if (mount === null) return {}
  const spacing =
    spacing_min === null ? {} : { spacing: { value: roundSignificant(spacing_min), unit: 'min' as const } }
  const remounting: RemountingGroup = { ...groupOf(mount, date), ...spacing }
  return { remounting }
}

function localNoise(local: LocalStudy | null): Pick<FacilityRecord, 'localNoise'> {
  if (local === null || local.localCorrelation_rpm === null) return {}
  const { engineSpeed_rpm, weight_1 } = local.profile
  const noise: LocalNoise = {
    relativeSd: roundSignificant(local.localRelSd),
    correlationLength: { value: roundSignificant(local.localCorrelation_rpm), unit: 'rpm' },
    profile: Array.from(engineSpeed_rpm, (value, i) => ({
      at: { value, unit: 'rpm' as const },
      weight: roundSignificant(weight_1[i] ?? 1),
    })),
  }
  return { localNoise: noise }
}
