/**
 * The result: a pure function of comparison, protocol and method version. Every member is signed.
 *
 * Every number is rounded to 6 significant digits. Recomputing with the same method version gives the same bytes.
 */
import type { Accounting } from './accounting.ts'
import type { ClaimRange, GainValue } from './claim.ts'
import type { CorrectionId } from './corrections.ts'
import type { RecordStatus } from './facility.ts'
import type { PlanReport } from './plan.ts'

/** `valid`, `limited` (true only within the stated scope) or `invalid`. */
export type Standing = 'valid' | 'limited' | 'invalid'

/** What the data say of a claim. */
export type Judgement = 'supported' | 'contradicted' | 'undecided' | 'not-assessable'

/** The assessment of one comparison. */
export interface Result {
  /** Version of the statistical method; the same version gives the same bytes. */
  readonly method: string
  /** Protocol judged by. */
  readonly protocol: ProtocolReference
  /** Digests of what was judged. */
  readonly inputs: InputDigests
  /** Whether the comparison holds. */
  readonly standing: Standing
  /** The limits within which a `limited` comparison holds, one sentence each. */
  readonly scope: readonly string[]
  /** Share of the checks that are met, 0 to 100; 0 when the standing is `invalid`. */
  readonly score: number
  /** The answer in one plain sentence. */
  readonly verdict: string
  /** One finding per check of the protocol, in its order. */
  readonly findings: readonly Finding[]
  /** Which changes the gain belongs to. */
  readonly attribution: Attribution
  /** The gain, corrected and uncorrected. */
  readonly gains: Gains
  /** The headline gain once more with runs that were left out, and without runs that stand out. */
  readonly alternatives: readonly Alternative[]
  /** Uncertainty budget of the headline gain; empty where there is no interval. */
  readonly budget: readonly BudgetTerm[]
  /** What a reader of the headline gain must know of its analysis; absent where there is nothing. */
  readonly flags?: readonly Flag[]
  /** One judgement per claim, in the order of the comparison. */
  readonly claims: readonly ClaimJudgement[]
  /** What to do next, the cheapest first. */
  readonly nextSteps: readonly NextStep[]
  /** Safety, wherever it applies. */
  readonly cautions: readonly Caution[]
  /** What became of every run. */
  readonly accounting: Accounting
  /** What this result does not show. */
  readonly limits: readonly string[]
  /** What could account for the difference on its own, the largest first; absent where every run was recorded. */
  readonly otherCauses?: readonly OtherCause[]
  /** What became of the plan; absent from a comparison made without one. */
  readonly plan?: PlanReport
}

/** Something of the analysis that a reader of the headline gain must know. */
export interface Flag {
  /** Its name in the method. */
  readonly flag:
    | 'order_unknown'
    | 'ambient_not_evidenced'
    | 'drift_detected'
    | 'noisier_than_facility'
    | 'zero_variance'
    | 'mounting_scatter_above_declared'
    | 'mounting_dof_1'
    | 'mounting_component_unknown'
    | 'between_day_component_unknown'
    | 'sides_unequal'
    | 'mount_gap_longer_than_record'
    | 'record_counts_as_declared'
  /** What it means here, in a sentence or two. */
  readonly sentence: string
}

/** Something beside the part that could account for a published difference on its own. */
export interface OtherCause {
  /** What. */
  readonly cause:
    | 'another-correction'
    | 'smoothing'
    | 're-strapping'
    | 'day'
    | 'best-of-several'
    | 'tyre-pressure'
    | 'printed-digit'
  /** How large a difference it can make. [%], above 0 */
  readonly size_percent: number
  /** How, in one sentence. */
  readonly sentence: string
  /** What the size rests on. */
  readonly basis: string
  /** Whether it is as large as the published difference. */
  readonly isEnough: boolean
}

/** A protocol and the digest of its data. */
export interface ProtocolReference {
  /** Name and version. */
  readonly id: string
  /** `sha256:` and the lower-case hex digest of the protocol's canonical form. */
  readonly digest: string
}

/** Digests that tie the result to its data. */
export interface InputDigests {
  /** Digest of the whole comparison. */
  readonly comparison: string
  /** Digest of each run, in document order. */
  readonly runs: readonly RunDigest[]
}

/** The digest of one run. */
export interface RunDigest {
  /** Id of the run. */
  readonly run: string
  /** `sha256:` and lower-case hex. */
  readonly digest: string
}

/** What a check found. */
export type FindingStatus = 'met' | 'marginal' | 'breached' | 'not-evidenced' | 'not-applicable'

/** How much a check weighs. */
export type Severity = 'gate' | 'scope' | 'run-level' | 'note'

/** The finding of one check. */
export interface Finding {
  /** Name of the check. */
  readonly check: string
  /** What was found. */
  readonly status: FindingStatus
  /** How much the check weighs in this comparison. */
  readonly severity: Severity
  /** The observed value; null where there is none. */
  readonly observed: number | string | null
  /** The limit that decided, or the first that was kept; null where there is none. */
  readonly limit: number | string | null
  /** Unit of observed and limit; empty where they are words. */
  readonly unit: string
  /** Ids of the runs concerned. */
  readonly runs: readonly string[]
  /** What was seen, in one sentence. */
  readonly sentence: string
  /** What to do, in one sentence; empty when met. */
  readonly remedy: string
  /** Where missing evidence can still come from; null unless `not-evidenced`. */
  readonly evidence: 'from-records' | 'repeat' | null
  /** Basis of the limit. */
  readonly basis: string
}

/** Which changes the gain belongs to. */
export interface Attribution {
  /** Changes under test. */
  readonly underTest: readonly string[]
  /** Everything else that differed, declared or found. */
  readonly alsoChanged: readonly string[]
  /** The attribution in one sentence. */
  readonly sentence: string
}

/** The gain, modified minus baseline. */
export interface Gains {
  /** Correction of the judged figures; `none` when the conditions of a run are missing, `as-printed` when what was done to them is unknown. */
  readonly correction: CorrectionId | 'as-printed'
  /** Where the power is referred to. */
  readonly measuredAt: 'wheel' | 'crankshaft-estimated' | 'not-recorded'
  /** Gains judged, in the correction above. */
  readonly corrected: readonly Gain[]
  /** The same gains of the uncorrected power; empty where a correction cannot be undone. */
  readonly uncorrected: readonly Gain[]
  /** The gain over engine speed; null where there are no curves that overlap. */
  readonly curve: GainCurve | null
}

/** One gain with its interval. */
export interface Gain {
  /** Of what and over which engine speeds. */
  readonly of: GainSubject
  /** Baseline level, kW or N m; null where it cannot be told. */
  readonly baseline: number | null
  /** Modified level, kW or N m. */
  readonly modified: number | null
  /** `kW` or `N m`. */
  readonly unit: 'kW' | 'N m'
  /** Absolute gain with interval. */
  readonly absolute: Interval
  /** Relative gain in % with interval. */
  readonly relative: Interval
  /** Interval for these mountings only, in %; null where there is none. */
  readonly asMounted: Interval | null
  /** Interval from assumed values, in %; null where it is not needed. */
  readonly conditional: ConditionalInterval | null
}

/** Of what a gain speaks. */
export interface GainSubject {
  /** The quantity. */
  readonly quantity: 'wheel-power' | 'wheel-torque'
  /** `band-mean`, `peak` or `at-speed`. */
  readonly kind: 'band-mean' | 'peak' | 'at-speed'
  /** Lower end of the band, or the speed; null for a peak. [rpm] */
  readonly from_rpm: number | null
  /** Upper end of the band; null for others. [rpm] */
  readonly to_rpm: number | null
}

/** An estimate with its 95 % interval. */
export interface Interval {
  /** Estimate; null where there is none. */
  readonly estimate: number | null
  /** Lower end; null where there is no interval. */
  readonly low: number | null
  /** Upper end; null where there is no interval. */
  readonly high: number | null
  /** Standard uncertainty; null where there is no interval. On the logarithmic scale (in %) for relative gains. */
  readonly standardUncertainty: number | null
  /** Coverage factor. */
  readonly coverageFactor: number | null
  /** Effective degrees of freedom; 1e9 stands for infinite. */
  readonly degreesOfFreedom: number | null
  /** Welch-Satterthwaite, or Howe where a component has few degrees of freedom or is assumed. */
  readonly rule: 'welch-satterthwaite' | 'howe' | null
  /** What the interval covers. */
  readonly scope: 'reproducible' | 'as-mounted' | 'none'
  /** True when two drift models were fitted and the interval is their hull. */
  readonly twoDriftModels: boolean
}

/** An interval that rests on values nobody measured at this facility. */
export interface ConditionalInterval {
  /** Which values were assumed. */
  readonly on: 'typical' | 'cautious' | 'network'
  /** Groups of the facility record that were filled. */
  readonly filled: readonly string[]
  /** Interval in %; with room for the best of several runs and half a digit where figures were only printed. */
  readonly relative: Interval
}

/** The headline gain under another choice of runs, so that a reader sees what the choice does. */
export interface Alternative {
  /** Whether the runs are put back (they were left out) or taken out (they were used). */
  readonly kind: 'with' | 'without'
  /** Ids of the runs concerned. */
  readonly runs: readonly string[]
  /** Why they are concerned, in one sentence. */
  readonly sentence: string
  /** Of what and over which engine speeds. */
  readonly of: GainSubject
  /** Relative gain in % with interval. */
  readonly relative: Interval
}

/** The gain over engine speed. */
export interface GainCurve {
  /** Grid. [rpm] */
  readonly engineSpeed_rpm: readonly number[]
  /** Mean smoothed power of the baseline. [kW] */
  readonly baseline_kW: readonly number[]
  /** Mean smoothed power of the modified side. [kW] */
  readonly modified_kW: readonly number[]
  /** Gain. [%] */
  readonly gain_percent: readonly number[]
  /** Pointwise 95 % interval; null where there is none. [%] */
  readonly pointwise: CurveBand | null
  /** Simultaneous 95 % band: covers the whole curve. [%] */
  readonly simultaneous: CurveBand | null
  /** What the bands cover. */
  readonly scope: 'reproducible' | 'as-mounted' | 'none'
  /** Ranges where the simultaneous band excludes zero. */
  readonly significant: readonly SignificantRange[]
  /** Ranges where the pointwise interval excludes zero: each speed for itself, not all of them together. */
  readonly significantPointwise: readonly SignificantRange[]
}

/** Lower and upper curve. */
export interface CurveBand {
  /** Lower ends. [%] */
  readonly low: readonly number[]
  /** Upper ends. [%] */
  readonly high: readonly number[]
}

/** A range of engine speeds with a gain or a loss beyond doubt. */
export interface SignificantRange {
  /** Gain or loss. */
  readonly kind: 'gain' | 'loss'
  /** First grid point. [rpm] */
  readonly from_rpm: number
  /** Last grid point. [rpm] */
  readonly to_rpm: number
}

/** One term of the uncertainty budget of the headline gain. */
export interface BudgetTerm {
  /** What it stands for. */
  readonly term: 'repeatability' | 'drift' | 'warm-up' | 'ambient' | 'day' | 'mounting'
  /** Evaluated from these runs (A), from other knowledge (B), or from both (AB). */
  readonly type: 'A' | 'B' | 'AB'
  /** Standard uncertainty of the gain from this term. [%] */
  readonly standardUncertainty: number
  /** Degrees of freedom; 1e9 stands for infinite. */
  readonly degreesOfFreedom: number
  /** Share of the variance. [%], 0 to 100 */
  readonly share: number
  /** How the value came about. */
  readonly status: RecordStatus | 'these-runs'
}

/** The judgement of one claim. */
export interface ClaimJudgement {
  /** Id of the claim. */
  readonly claim: string
  /** What was claimed, in one plain sentence. */
  readonly statement: string
  /** What the data say. */
  readonly judgement: Judgement
  /** Why, in one plain sentence. */
  readonly sentence: string
  /** Reason of an `undecided` or `not-assessable`; null otherwise. */
  readonly reason: string | null
  /** Unit of the claim and of the interval. */
  readonly unit: GainValue['unit']
  /** Range of the claim. */
  readonly over: ClaimRange
  /** Unadjusted interval. */
  readonly interval: Interval
  /** Interval for these mountings only; null where there is none. */
  readonly asMounted: Interval | null
  /** One-sided p of support, adjusted for the number of claims. */
  readonly supportP: number
  /** One-sided p of contradiction, adjusted for the number of claims. */
  readonly contradictionP: number
  /** Judgement from assumed values; null where it is not needed. */
  readonly conditional: ConditionalJudgement | null
  /** Smallest gain over the band; null where it does not apply. */
  readonly smallest: ExtremeGain | null
  /** Largest gain over the band; null where it does not apply. */
  readonly largest: ExtremeGain | null
  /** The limits within which the judgement holds, one sentence each; empty unless the standing is `limited`. */
  readonly scope: readonly string[]
  /** Gain of the mean over the band, for claims about every or the best speed of it; null for others. */
  readonly bandMean: Interval | null
}

/** An extreme of the gain curve. */
export interface ExtremeGain {
  /** Gain in the unit of the claim. */
  readonly value: number
  /** Engine speed. [rpm] */
  readonly at_rpm: number
}

/** A judgement that rests on values nobody measured at this facility. */
export interface ConditionalJudgement {
  /** Which values were assumed. */
  readonly on: 'typical' | 'cautious' | 'network'
  /** The judgement, given those values. */
  readonly judgement: Judgement
  /** The judgement in one plain sentence. */
  readonly sentence: string
  /** Interval in the unit of the claim; with room for the best of several runs and half a digit where figures were only printed. */
  readonly interval: Interval
}

/** One thing to do next. */
export interface NextStep {
  /** Where it costs: at the desk, on the rollers, or with the other party. */
  readonly cost: 'records' | 'minutes-on-the-rollers' | 'hours-on-the-rollers' | 'ask-the-publisher'
  /** What to do, in one sentence. */
  readonly sentence: string
  /** Checks and claims it would settle. */
  readonly settles: readonly string[]
}

/** A safety caution. */
export interface Caution {
  /** Subject. */
  readonly about:
    | 'lean-mixture'
    | 'tyre'
    | 'straps'
    | 'fuel-supply'
    | 'overheating'
    | 'rotating-parts'
    | 'exhaust-gas'
    | 'noise'
    | 'road-use'
  /** The caution, in a few sentences. */
  readonly sentence: string
}
