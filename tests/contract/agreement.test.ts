/**
 * Every published interface and the schema beside it describe the same values, in both directions. The agreement is
 * checked when the tests are compiled; a mismatch is a type error in this file.
 */
import { expect, test } from 'vitest'
import type * as z from 'zod/mini'
import type * as channels from '../../packages/sdk/src/contract/channels-schema.ts'
import type * as claims from '../../packages/sdk/src/contract/claim-schema.ts'
import type * as comparisons from '../../packages/sdk/src/contract/comparison-schema.ts'
import type * as facilities from '../../packages/sdk/src/contract/facility-schema.ts'
import type * as findings from '../../packages/sdk/src/contract/finding-schema.ts'
import type * as gains from '../../packages/sdk/src/contract/gain-schema.ts'
import type * as contract from '../../packages/sdk/src/contract/index.ts'
import type * as mountings from '../../packages/sdk/src/contract/mounting-schema.ts'
import type * as plans from '../../packages/sdk/src/contract/plan-schema.ts'
import type * as problems from '../../packages/sdk/src/contract/problem-schema.ts'
import type * as protocols from '../../packages/sdk/src/contract/protocol-schema.ts'
import type { ComparisonReading } from '../../packages/sdk/src/contract/read-comparison.ts'
import type * as receipts from '../../packages/sdk/src/contract/receipt-schema.ts'
import type * as results from '../../packages/sdk/src/contract/result-schema.ts'
import type * as runChecks from '../../packages/sdk/src/contract/run-check-schema.ts'
import type * as runs from '../../packages/sdk/src/contract/run-schema.ts'
import type * as sampleSizes from '../../packages/sdk/src/contract/sample-size-schema.ts'
import type { quantities } from '../../packages/sdk/src/contract/schema-parts.ts'
import type * as studies from '../../packages/sdk/src/contract/study-schema.ts'
import type * as summaries from '../../packages/sdk/src/contract/summary-schema.ts'
import type * as vehicles from '../../packages/sdk/src/contract/vehicle-schema.ts'
import { documentedTypes, publishedFiles, publishedList } from './contract-sources.ts'

/** The same type with nothing read-only and every intersection written out; arrays stay arrays. */
type Plain<T> = T extends readonly (infer Element)[]
  ? Plain<Element>[]
  : T extends object
    ? { -readonly [Member in keyof T]: Plain<T[Member]> }
    : T

/** True for one type only: itself. Neither `any`, nor a wider or narrower type, nor a member that became optional. */
type Same<A, B> = (<T>() => T extends A ? 1 : 2) extends <T>() => T extends B ? 1 : 2 ? true : false

type IsAny<T> = 0 extends 1 & T ? true : false

/** True when the schema reads exactly the published type, and neither is `any`. */
type Agree<Published, Schema extends z.ZodMiniType> =
  IsAny<Published> extends true
    ? false
    : IsAny<z.output<Schema>> extends true
      ? false
      : Same<Plain<Published>, Plain<z.output<Schema>>>

interface Agreements {
  Claim: Agree<contract.Claim, typeof claims.claimSchema>
  ClaimRange: Agree<contract.ClaimRange, typeof claims.claimRangeSchema>
  GainValue: Agree<contract.GainValue, typeof claims.gainValueSchema>
  Comparison: Agree<contract.Comparison, typeof comparisons.comparisonSchema>
  Unlisted: Agree<contract.Unlisted, typeof comparisons.unlistedSchema>
  Exclusion: Agree<contract.Exclusion, typeof comparisons.exclusionSchema>
  CorrectionId: Agree<contract.CorrectionId, typeof runs.correctionSchema>
  RecordStatus: Agree<contract.RecordStatus, typeof facilities.recordStatusSchema>
  Facility: Agree<contract.Facility, typeof facilities.facilitySchema>
  Rollers: Agree<contract.Rollers, typeof facilities.rollersSchema>
  FacilityRecord: Agree<contract.FacilityRecord, typeof facilities.facilityRecordSchema>
  RecordGroup: Agree<contract.RecordGroup, typeof facilities.recordGroupSchema>
  RemountingGroup: Agree<contract.RemountingGroup, typeof facilities.remountingGroupSchema>
  LocalNoise: Agree<contract.LocalNoise, typeof facilities.localNoiseSchema>
  LocalNoiseAt: Agree<contract.LocalNoiseAt, typeof facilities.localNoiseAtSchema>
  Mounting: Agree<contract.Mounting, typeof mountings.mountingSchema>
  Strap: Agree<contract.Strap, typeof mountings.strapSchema>
  Setup: Agree<contract.Setup, typeof mountings.setupSchema>
  TyrePressure: Agree<contract.TyrePressure, typeof mountings.tyrePressureSchema>
  Fuel: Agree<contract.Fuel, typeof mountings.fuelSchema>
  Sweep: Agree<contract.Sweep, typeof mountings.sweepSchema>
  Conditions: Agree<contract.Conditions, typeof mountings.conditionsSchema>
  IntakeAirTemperature: Agree<contract.IntakeAirTemperature, typeof mountings.intakeAirTemperatureSchema>
  FieldProblem: Agree<contract.FieldProblem, typeof problems.fieldProblemSchema>
  Problem: Agree<contract.Problem, typeof problems.problemSchema>
  GradedLimit: Agree<contract.GradedLimit, typeof protocols.gradedLimitSchema>
  ProtocolCheck: Agree<contract.ProtocolCheck, typeof protocols.protocolCheckSchema>
  CheckEffect: Agree<contract.CheckEffect, typeof protocols.checkEffectSchema>
  AssumedValues: Agree<contract.AssumedValues, typeof protocols.assumedValuesSchema>
  Protocol: Agree<contract.Protocol, typeof protocols.protocolSchema>
  Standing: Agree<contract.Standing, typeof findings.standingSchema>
  Judgement: Agree<contract.Judgement, typeof findings.judgementSchema>
  Result: Agree<contract.Result, typeof results.resultSchema>
  PlanRuleName: Agree<contract.PlanRuleName, typeof plans.planRuleNameSchema>
  PlanRequest: Agree<contract.PlanRequest, typeof plans.planRequestSchema>
  Plan: Agree<contract.Plan, typeof plans.planSchema>
  PlannedBlock: Agree<contract.PlannedBlock, typeof plans.plannedBlockSchema>
  OrderDraw: Agree<contract.OrderDraw, typeof plans.orderDrawSchema>
  PlanAmendment: Agree<contract.PlanAmendment, typeof plans.planAmendmentSchema>
  PlannedRun: Agree<contract.PlannedRun, typeof plans.plannedRunSchema>
  PlanAttempt: Agree<contract.PlanAttempt, typeof plans.planAttemptSchema>
  RegisteredPlan: Agree<contract.RegisteredPlan, typeof plans.registeredPlanSchema>
  Registration: Agree<contract.Registration, typeof plans.registrationSchema>
  PlanReport: Agree<contract.PlanReport, typeof plans.planReportSchema>
  PlanRuleReport: Agree<contract.PlanRuleReport, typeof plans.planRuleReportSchema>
  RunReceipt: Agree<contract.RunReceipt, typeof receipts.runReceiptSchema>
  PlanStatus: Agree<contract.PlanStatus, typeof receipts.planStatusSchema>
  LoggedRun: Agree<contract.LoggedRun, typeof receipts.loggedRunSchema>
  RunLogged: Agree<contract.RunLogged, typeof receipts.runLoggedSchema>
  PlanRecord: Agree<contract.PlanRecord, typeof receipts.planRecordSchema>
  PlanCounters: Agree<contract.PlanCounters, typeof receipts.planCountersSchema>
  ProtocolReference: Agree<contract.ProtocolReference, typeof findings.protocolReferenceSchema>
  InputDigests: Agree<contract.InputDigests, typeof findings.inputDigestsSchema>
  RunDigest: Agree<contract.RunDigest, typeof findings.runDigestSchema>
  FindingStatus: Agree<contract.FindingStatus, typeof findings.findingStatusSchema>
  Severity: Agree<contract.Severity, typeof findings.severitySchema>
  Finding: Agree<contract.Finding, typeof findings.findingSchema>
  Attribution: Agree<contract.Attribution, typeof findings.attributionSchema>
  Gains: Agree<contract.Gains, typeof gains.gainsSchema>
  Gain: Agree<contract.Gain, typeof gains.gainSchema>
  GainSubject: Agree<contract.GainSubject, typeof gains.gainSubjectSchema>
  Interval: Agree<contract.Interval, typeof gains.intervalSchema>
  ConditionalInterval: Agree<contract.ConditionalInterval, typeof gains.conditionalIntervalSchema>
  GainCurve: Agree<contract.GainCurve, typeof gains.gainCurveSchema>
  CurveBand: Agree<contract.CurveBand, typeof gains.curveBandSchema>
  SignificantRange: Agree<contract.SignificantRange, typeof gains.significantRangeSchema>
  BudgetTerm: Agree<contract.BudgetTerm, typeof gains.budgetTermSchema>
  ClaimJudgement: Agree<contract.ClaimJudgement, typeof results.claimJudgementSchema>
  ExtremeGain: Agree<contract.ExtremeGain, typeof results.extremeGainSchema>
  ConditionalJudgement: Agree<contract.ConditionalJudgement, typeof results.conditionalJudgementSchema>
  NextStep: Agree<contract.NextStep, typeof results.nextStepSchema>
  Caution: Agree<contract.Caution, typeof results.cautionSchema>
  RunCheckRequest: Agree<contract.RunCheckRequest, typeof runChecks.runCheckRequestSchema>
  RunCheckReport: Agree<contract.RunCheckReport, typeof runChecks.runCheckReportSchema>
  Study: Agree<contract.Study, typeof studies.studySchema>
  StudyBand: Agree<contract.StudyBand, typeof studies.studyBandSchema>
  RecordScope: Agree<contract.RecordScope, typeof facilities.recordScopeSchema>
  StudyRun: Agree<contract.StudyRun, typeof studies.studyRunSchema>
  PastSeries: Agree<contract.PastSeries, typeof studies.pastSeriesSchema>
  StudyResult: Agree<contract.StudyResult, typeof studies.studyResultSchema>
  MissingFromRecord: Agree<contract.MissingFromRecord, typeof studies.missingFromRecordSchema>
  StudyFigures: Agree<contract.StudyFigures, typeof studies.studyFiguresSchema>
  StudyComponents: Agree<contract.StudyComponents, typeof studies.studyComponentsSchema>
  VarianceComponent: Agree<contract.VarianceComponent, typeof studies.varianceComponentSchema>
  StudyScatter: Agree<contract.StudyScatter, typeof studies.studyScatterSchema>
  StudyPrior: Agree<contract.StudyPrior, typeof studies.studyPriorSchema>
  StudyRunFigure: Agree<contract.StudyRunFigure, typeof studies.studyRunFigureSchema>
  StudyDifference: Agree<contract.StudyDifference, typeof studies.studyDifferenceSchema>
  RegisteredStudy: Agree<contract.RegisteredStudy, typeof studies.registeredStudySchema>
  StudyCharts: Agree<contract.StudyCharts, typeof studies.studyChartsSchema>
  ControlChart: Agree<contract.ControlChart, typeof studies.controlChartSchema>
  ControlPoint: Agree<contract.ControlPoint, typeof studies.controlPointSchema>
  SampleSizeRequest: Agree<contract.SampleSizeRequest, typeof sampleSizes.sampleSizeRequestSchema>
  SampleSizeTarget: Agree<contract.SampleSizeTarget, typeof sampleSizes.sampleSizeTargetSchema>
  HalfWidthTarget: Agree<contract.HalfWidthTarget, typeof sampleSizes.halfWidthTargetSchema>
  SupportTarget: Agree<contract.SupportTarget, typeof sampleSizes.supportTargetSchema>
  RelativeGain: Agree<contract.RelativeGain, typeof sampleSizes.relativeGainSchema>
  SampleSizeReport: Agree<contract.SampleSizeReport, typeof sampleSizes.sampleSizeReportSchema>
  AdvisedDesign: Agree<contract.AdvisedDesign, typeof sampleSizes.advisedDesignSchema>
  PlannedFigure: Agree<contract.PlannedFigure, typeof sampleSizes.plannedFigureSchema>
  TraceReading: Agree<contract.TraceReading, typeof results.traceReadingSchema>
  PowerSource: Agree<contract.PowerSource, typeof results.powerSourceSchema>
  Alternative: Agree<contract.Alternative, typeof gains.alternativeSchema>
  Flag: Agree<contract.Flag, typeof results.flagSchema>
  OtherCause: Agree<contract.OtherCause, typeof results.otherCauseSchema>
  Accounting: Agree<contract.Accounting, typeof results.accountingSchema>
  ExcludedRun: Agree<contract.ExcludedRun, typeof results.excludedRunSchema>
  NotMeasuredRun: Agree<contract.NotMeasuredRun, typeof results.notMeasuredRunSchema>
  Side: Agree<contract.Side, typeof runs.sideSchema>
  Processing: Agree<contract.Processing, typeof runs.processingSchema>
  PrintedFactor: Agree<contract.PrintedFactor, typeof runs.printedFactorSchema>
  Smoothing: Agree<contract.Smoothing, typeof runs.smoothingSchema>
  Run: Agree<contract.Run, typeof runs.runSchema>
  Source: Agree<contract.Source, typeof runs.sourceSchema>
  MixtureChannel: Agree<contract.MixtureChannel, typeof channels.mixtureChannelSchema>
  Channels: Agree<contract.Channels, typeof channels.channelsSchema>
  Reported: Agree<contract.Reported, typeof runs.reportedSchema>
  SummaryPayload: Agree<contract.SummaryPayload, typeof summaries.summaryPayloadSchema>
  Issue: Agree<contract.Issue, typeof summaries.issueSchema>
  LogReceipt: Agree<contract.LogReceipt, typeof summaries.logReceiptSchema>
  IssuedSummary: Agree<contract.IssuedSummary, typeof summaries.issuedSummarySchema>
  DryRun: Agree<contract.DryRun, typeof summaries.dryRunSchema>
  Vehicle: Agree<contract.Vehicle, typeof vehicles.vehicleSchema>
  Gearing: Agree<contract.Gearing, typeof vehicles.gearingSchema>
  Engine: Agree<contract.Engine, typeof vehicles.engineSchema>
  DriveTyre: Agree<contract.DriveTyre, typeof vehicles.driveTyreSchema>
  Change: Agree<contract.Change, typeof vehicles.changeSchema>
  Swap: Agree<contract.Swap, typeof vehicles.swapSchema>
}

/** One line per agreement: `true` does not compile where the two differ. */
const agreements: Agreements = {
  Claim: true,
  ClaimRange: true,
  GainValue: true,
  Comparison: true,
  Unlisted: true,
  Exclusion: true,
  CorrectionId: true,
  RecordStatus: true,
  Facility: true,
  Rollers: true,
  FacilityRecord: true,
  RecordGroup: true,
  RemountingGroup: true,
  LocalNoise: true,
  LocalNoiseAt: true,
  Mounting: true,
  Strap: true,
  Setup: true,
  TyrePressure: true,
  Fuel: true,
  Sweep: true,
  Conditions: true,
  IntakeAirTemperature: true,
  FieldProblem: true,
  Problem: true,
  GradedLimit: true,
  ProtocolCheck: true,
  CheckEffect: true,
  AssumedValues: true,
  Protocol: true,
  Standing: true,
  Judgement: true,
  Result: true,
  PlanRuleName: true,
  PlanRequest: true,
  Plan: true,
  PlannedBlock: true,
  OrderDraw: true,
  PlanAmendment: true,
  PlannedRun: true,
  PlanAttempt: true,
  RegisteredPlan: true,
  Registration: true,
  PlanReport: true,
  PlanRuleReport: true,
  RunReceipt: true,
  PlanStatus: true,
  LoggedRun: true,
  RunLogged: true,
  PlanRecord: true,
  PlanCounters: true,
  ProtocolReference: true,
  InputDigests: true,
  RunDigest: true,
  FindingStatus: true,
  Severity: true,
  Finding: true,
  Attribution: true,
  Gains: true,
  Gain: true,
  GainSubject: true,
  Interval: true,
  ConditionalInterval: true,
  GainCurve: true,
  CurveBand: true,
  SignificantRange: true,
  BudgetTerm: true,
  ClaimJudgement: true,
  ExtremeGain: true,
  ConditionalJudgement: true,
  NextStep: true,
  Caution: true,
  Flag: true,
  OtherCause: true,
  Accounting: true,
  ExcludedRun: true,
  RunCheckRequest: true,
  RunCheckReport: true,
  Study: true,
  StudyBand: true,
  RecordScope: true,
  StudyRun: true,
  PastSeries: true,
  StudyResult: true,
  MissingFromRecord: true,
  StudyFigures: true,
  StudyComponents: true,
  VarianceComponent: true,
  StudyScatter: true,
  StudyPrior: true,
  StudyRunFigure: true,
  StudyDifference: true,
  RegisteredStudy: true,
  StudyCharts: true,
  ControlChart: true,
  ControlPoint: true,
  SampleSizeRequest: true,
  SampleSizeTarget: true,
  HalfWidthTarget: true,
  SupportTarget: true,
  RelativeGain: true,
  SampleSizeReport: true,
  AdvisedDesign: true,
  PlannedFigure: true,
  TraceReading: true,
  PowerSource: true,
  Alternative: true,
  NotMeasuredRun: true,
  Side: true,
  Processing: true,
  PrintedFactor: true,
  Smoothing: true,
  Run: true,
  Source: true,
  MixtureChannel: true,
  Channels: true,
  Reported: true,
  SummaryPayload: true,
  Issue: true,
  LogReceipt: true,
  IssuedSummary: true,
  DryRun: true,
  Vehicle: true,
  Gearing: true,
  Engine: true,
  DriveTyre: true,
  Change: true,
  Swap: true,
}

/** Types that stand inside another one above, so that the agreement of that one is theirs. */
const inside: Readonly<Record<string, string>> = {
  PeakRange: 'ClaimRange',
  AtSpeedRange: 'ClaimRange',
  BandRange: 'ClaimRange',
  ChannelValues: 'Channels',
  Channel: 'Channels',
  PlanTerms: 'Plan',
  Quantity: 'quantities, below',
  UnitOf: 'Quantity',
  QuantityKind: 'Quantity',
}

type Kinds = { readonly [Kind in contract.QuantityKind]: Agree<contract.Quantity<Kind>, (typeof quantities)[Kind]> }

const kinds: Kinds = {
  power: true,
  torque: true,
  pressure: true,
  temperature: true,
  rotationalSpeed: true,
  speed: true,
  rotationalAcceleration: true,
  time: true,
  length: true,
  mass: true,
  force: true,
  inertia: true,
  angle: true,
  ratio: true,
}

/** The judged range ignores members of later versions; what it knows is the published range. */
const judged: Agree<contract.ClaimRange, typeof claims.judgedRangeSchema> = true

const reading: Same<Extract<ComparisonReading, { ok: true }>['comparison'], contract.Comparison> = true

test('every exported type of the contract agrees with its schema', () => {
  expect(Object.values({ ...agreements, ...kinds, judged, reading }).every((agrees) => agrees)).toBe(true)
  const covered = new Set([...Object.keys(agreements), ...Object.keys(inside)])
  expect(publishedList).toEqual(expect.arrayContaining([...publishedFiles()]))
  const missing = documentedTypes().filter((name) => !covered.has(name))
  expect(missing).toEqual([])
})

test('a member more, a member less, an optional member and `any` are told apart', () => {
  type Point = { readonly x: number; readonly y?: string }
  const same: Same<Plain<Point>, { x: number; y?: string }> = true
  const more: Same<Plain<Point>, { x: number; y?: string; z: number }> = false
  const less: Same<Plain<Point>, { x: number }> = false
  const required: Same<Plain<Point>, { x: number; y: string }> = false
  const anything: Same<Plain<Point>, { x: number; y?: ReturnType<typeof JSON.parse> }> = false
  expect([same, more, less, required, anything]).toEqual([true, false, false, false, false])
})
