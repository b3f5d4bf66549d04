/**
 * What reads the contract: the schema beside each published interface, the reader of comparisons, and the JSON Schema
 * made from both. The interfaces themselves are behind the other door, `index.ts`, which runs no code.
 */
export { decodeChannelValues, encodeChannelValues, readChannelValues } from './channel-values.ts'
export { channelsSchema, MAX_SAMPLES, mixtureChannelSchema } from './channels-schema.ts'
export { claimRangeSchema, claimSchema, gainValueSchema } from './claim-schema.ts'
export { comparisonSchema, exclusionSchema, MAX_RUNS, unlistedSchema } from './comparison-schema.ts'
export { type ContractDocs, contractDocs, type TypeDoc } from './contract-docs.ts'
export { facilityRecordSchema, facilitySchema } from './facility-schema.ts'
export { type ComparisonProblem, type FieldProblemCode, fieldProblemCodes } from './field-problem.ts'
export { findingSchema, judgementSchema, standingSchema } from './finding-schema.ts'
export { gainSchema, gainsSchema, intervalSchema } from './gain-schema.ts'
export { componentSchemas, type DocumentName, type JsonSchema, jsonSchemas } from './json-schema.ts'
export { conditionsSchema, mountingSchema, setupSchema } from './mounting-schema.ts'
export { drawnBlocks, frozenPlan, isOneSideFirst, type PlannedSlot, plannedClaims, plannedSlots } from './plan-order.ts'
export {
  planAmendmentSchema,
  planReportSchema,
  planRequestSchema,
  planRuleReportSchema,
  planSchema,
  registeredPlanSchema,
  registrationSchema,
} from './plan-schema.ts'
export { fieldProblemSchema, problemSchema } from './problem-schema.ts'
export { protocolCheckSchema, protocolSchema } from './protocol-schema.ts'
export { type ComparisonReading, MAX_PROBLEMS, readComparison } from './read-comparison.ts'
export {
  CONDITIONING_RUNS_ONE_SIDE_FIRST,
  type PlanReading,
  type PlanRunParts,
  plannedDocument,
  readMountingAndRun,
  readPlan,
  readPlanClaims,
} from './read-plan.ts'
export { type RunCheckReading, readRunCheck } from './read-run-check.ts'
export { readSampleSize, type SampleSizeReading } from './read-sample-size.ts'
export { readStudy, type StudyReading } from './read-study.ts'
export { planCountersSchema, planRecordSchema, runLoggedSchema, runReceiptSchema } from './receipt-schema.ts'
export { claimJudgementSchema, resultSchema } from './result-schema.ts'
export { runCheckReportSchema, runCheckRequestSchema } from './run-check-schema.ts'
export { runSchema } from './run-schema.ts'
export { sampleSizeReportSchema, sampleSizeRequestSchema } from './sample-size-schema.ts'
export {
  controlChartSchema,
  registeredStudySchema,
  studyChartsSchema,
  studyResultSchema,
  studyRunSchema,
  studySchema,
} from './study-schema.ts'
export { dryRunSchema, issuedSummarySchema, issueSchema, summaryPayloadSchema } from './summary-schema.ts'
export { changeSchema, driveTyreSchema, vehicleSchema } from './vehicle-schema.ts'
