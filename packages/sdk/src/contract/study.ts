/** A facility's repeatability study: one unchanged machine, strapped down several times, several runs each. */
import type { ExcludedRun, NotMeasuredRun } from './accounting.ts'
import type { Exclusion } from './comparison.ts'
import type { CorrectionId } from './corrections.ts'
import type { Facility, FacilityRecord, RecordScope } from './facility.ts'
import type { Mounting } from './mounting.ts'
import type { Caution, Finding } from './result.ts'
import type { Run, Side } from './run.ts'
import type { Quantity } from './units.ts'
import type { DriveTyre, Vehicle } from './vehicle.ts'

/** What is submitted to learn how well a facility repeats. Blocks of ordinary work serve: whenever an unchanged machine is strapped down again. */
export interface Study {
  /** Protocol whose checks look at the single runs, for example `motorcycle-rollers@1`. */
  readonly protocol: string
  /** What the facility calls the study; stands in the record where no register gave it an identity. */
  readonly name?: string
  /** Correction of the figures. Absent: `un-r85`. */
  readonly reportIn?: CorrectionId
  /** The place of measurement. A record that it has already scales the checks of the runs, and nothing else. */
  readonly facility: Facility
  /** The machine; nothing on it was changed between the runs. */
  readonly vehicle: Vehicle
  /** The drive tyres that appear in the runs. */
  readonly driveTyres?: readonly DriveTyre[]
  /** Engine speeds over which the power of each run is averaged: those that claims are made for. */
  readonly band: StudyBand
  /** What the record will apply to. */
  readonly appliesTo: RecordScope
  /** Each strapping-down of the machine on the rollers. */
  readonly mountings: readonly Mounting[]
  /** Every run that was made in these mountings, in any order. At most 1,000. */
  readonly runs: readonly StudyRun[]
  /** Measured runs that are left out, each under a named rule. */
  readonly excluded?: readonly Exclusion[]
  /** Earlier series of runs in one mounting each, by their figures alone; they tell how alike series are. */
  readonly past?: readonly PastSeries[]
}

/** A band of engine speeds. */
export interface StudyBand {
  /** Lower end. [rotationalSpeed] */
  readonly from: Quantity<'rotationalSpeed'>
  /** Upper end. [rotationalSpeed] */
  readonly to: Quantity<'rotationalSpeed'>
}

/** One full-throttle sweep of a study. */
export interface StudyRun extends Omit<Run, 'side' | 'mounting'> {
  /** Id of its mounting. */
  readonly mounting: string
  /** Side it stood on where it was made for a comparison; all runs of a study are of one side. */
  readonly side?: Side
}

/** A series of runs in one mounting, by its figures. */
export interface PastSeries {
  /** Standard deviation of the band means as a fraction of the power. [1], above 0 */
  readonly relativeSd: number
  /** Its degrees of freedom: runs less one. [1], above 0 */
  readonly degreesOfFreedom: number
  /** Day it was made, `YYYY-MM-DD`. */
  readonly on?: string
}

/** What a study shows. */
export interface StudyResult {
  /** Version of the statistical method. */
  readonly method: string
  /** Protocol whose checks looked at the runs. */
  readonly protocol: string
  /** Facility that was studied. */
  readonly facility: string
  /** The answer in one plain sentence. */
  readonly verdict: string
  /** What a comparison takes as `facility.record`; null while there is not enough for any group of it. */
  readonly record: FacilityRecord | null
  /** What is missing from the record, and what to add. */
  readonly missing: readonly MissingFromRecord[]
  /** What the figures are taken from. */
  readonly figures: StudyFigures
  /** Where the scatter comes from; null while the runs cannot tell. */
  readonly components: StudyComponents | null
  /** What control charts of several studies compare; empty while there is no scatter to tell. */
  readonly scatter: readonly StudyScatter[]
  /** How alike series of runs are; null with fewer than three series. */
  readonly prior: StudyPrior | null
  /** Degrees of freedom behind the noise along the engine speed; null where it cannot be told. [1] */
  readonly localDegreesOfFreedom: number | null
  /** Every run that entered the figures. */
  readonly runs: readonly StudyRunFigure[]
  /** Measured runs left out, with the rule; copies of other runs among them. */
  readonly excluded: readonly ExcludedRun[]
  /** Runs by purpose other than measured. */
  readonly notMeasured: readonly NotMeasuredRun[]
  /** Runs that stand out from the others of their mounting; they stay in the figures. */
  readonly outlying: readonly string[]
  /** What was recorded otherwise on some runs than on others, though the machine is to be unchanged. */
  readonly differences: readonly StudyDifference[]
  /** What the checks found that look at single runs. */
  readonly findings: readonly Finding[]
  /** What the study does not show. */
  readonly limits: readonly string[]
  /** Safety, wherever it applies. */
  readonly cautions: readonly Caution[]
}

/** A part of the record that the study cannot give yet. */
export interface MissingFromRecord {
  /** Which part; `record` for all of it. */
  readonly part: 'record' | 'repeatability' | 'remounting' | 'day' | 'localNoise'
  /** Why it is missing. */
  readonly sentence: string
  /** What to add. */
  readonly remedy: string
}

/** What the figures of a study are taken from. */
export interface StudyFigures {
  /** Lower end of the band. [rpm] */
  readonly from_rpm: number
  /** Upper end of the band. [rpm] */
  readonly to_rpm: number
  /** Correction of the power; `none` when the conditions of a run are missing, `as-printed` when what was done to it is unknown. */
  readonly correction: CorrectionId | 'as-printed'
  /** Mountings that hold a used run. [1] */
  readonly mountings: number
  /** Days they were made on; null when a mounting has none. [1] */
  readonly days: number | null
}

/** Where the scatter comes from: days over mountings over runs. */
export interface StudyComponents {
  /** Nested analysis of variance (ISO 5725-3) where the study is balanced, restricted maximum likelihood where it is not. */
  readonly analysis: 'nested-anova' | 'reml'
  /** The components, the innermost first. */
  readonly of: readonly VarianceComponent[]
  /** Whether days and mountings cannot be told apart: the component of the mountings then holds both. */
  readonly isDayInMounting: boolean
}

/** One component of variance. */
export interface VarianceComponent {
  /** Where it comes from. */
  readonly source: 'repeatability' | 'mounting' | 'day'
  /** Standard deviation as a fraction of the power; 0 where the data show none. [1] */
  readonly relativeSd: number
  /** Degrees of freedom of the stratum it is seen in. [1] */
  readonly degreesOfFreedom: number
}

/** A standard deviation as the study found it, with nothing taken out. */
export interface StudyScatter {
  /** Of the runs within their mountings, or of the means of the mountings. */
  readonly of: 'runs' | 'mounting-means'
  /** Standard deviation as a fraction of the power. [1] */
  readonly relativeSd: number
  /** Its degrees of freedom. [1] */
  readonly degreesOfFreedom: number
}

/** How alike series of runs are: the degrees of freedom that a record's repeatability is used with. */
export interface StudyPrior {
  /** Series: mountings of the study with two runs or more, and past ones. [1] */
  readonly series: number
  /** Typical standard deviation of a series as a fraction of the power. [1] */
  readonly relativeSd: number
  /** Degrees of freedom that say how alike the series are; null where they differ no more than chance makes them. [1] */
  readonly spreadDegreesOfFreedom: number | null
  /** Degrees of freedom in the record. [1] */
  readonly degreesOfFreedom: number
}

/** One run that entered the figures. */
export interface StudyRunFigure {
  /** Id of the run. */
  readonly run: string
  /** Its mounting. */
  readonly mounting: string
  /** Its day, `YYYY-MM-DD`; null when unknown. */
  readonly day: string | null
  /** Mean power over the band; null where the band is not covered. [kW] */
  readonly bandMean_kW: number | null
}

/** A member that was recorded otherwise on some runs than on others. */
export interface StudyDifference {
  /** Name of the member, for example `setup/fan`. */
  readonly member: string
  /** How many values it has. [1] */
  readonly values: number
  /** Whether it differs within a mounting, too. */
  readonly isWithinMounting: boolean
}

/** A Shewhart chart of standard deviations over several studies of one facility. */
export interface ControlChart {
  /** What is charted. */
  readonly of: StudyScatter['of']
  /** Standard deviation that the studies have in common, as a fraction of the power. [1] */
  readonly relativeSd: number
  /** One point a study, in the order given. */
  readonly points: readonly ControlPoint[]
  /** What the chart says, in one sentence. */
  readonly sentence: string
}

/** One study on a control chart. */
export interface ControlPoint {
  /** The study. */
  readonly study: string
  /** Date of its record, `YYYY-MM-DD`; null when unknown. */
  readonly on: string | null
  /** Standard deviation found, as a fraction of the power. [1] */
  readonly relativeSd: number
  /** Its degrees of freedom. [1] */
  readonly degreesOfFreedom: number
  /** Centre line at these degrees of freedom. [1] */
  readonly centre: number
  /** Lower control limit. [1], at or above 0 */
  readonly lower: number
  /** Upper control limit. [1] */
  readonly upper: number
  /** Whether the standard deviation lies within the limits. */
  readonly isInControl: boolean
}

/** A study that a register keeps; its record is one that the register issued. */
export interface RegisteredStudy {
  /** Identity of the study, UUID version 7; stands as `study` in the record. */
  readonly id: string
  /** When it was registered, RFC 3339 in UTC. */
  readonly registeredAt: string
  /** What it shows. */
  readonly result: StudyResult
}

/** Control charts over the studies of one facility. */
export interface StudyCharts {
  /** The facility. */
  readonly facility: string
  /** Charts of the scatter of the runs and of the mounting means; empty while no study tells any. */
  readonly charts: readonly ControlChart[]
}
