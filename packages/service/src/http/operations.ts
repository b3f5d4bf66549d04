/** Every operation of the service. The router and the OpenAPI document are made from this table. */
import { createAssessment, getAssessment, listAssessments } from './assessments.ts'
import { createBatch } from './batches.ts'
import { getKeys } from './keys.ts'
import { getLogCheckpoint, getLogTile } from './log-files.ts'
import { getMetrics } from './metrics.ts'
import type { Operation } from './operation.ts'
import { assessmentPages } from './pages.ts'
import { assessPlan, getPlanComparison, getPlanCounters } from './plan-assessments.ts'
import { abandonPlan, addPlanRun, amendPlan, closePlan, createPlan, getPlan, listPlans, withdrawPlan } from './plans.ts'
import { getProtocol, listProtocols } from './protocols.ts'
import { createRunCheck } from './run-checks.ts'
import { createSampleSize } from './sample-sizes.ts'
import { getLiveness, getOpenApi, getProblemType, getReadiness } from './service-state.ts'
import { getDocs, getVerifierPage } from './site.ts'
import { createStudy, getStudy, getStudyCharts, listStudies } from './studies.ts'
import {
  getSummary,
  getSummaryRuns,
  getSummaryStatus,
  publishAssessment,
  summaryPages,
  withdrawSummary,
} from './summaries.ts'
import { getTrust } from './trust.ts'
import { createVerification } from './verifications.ts'

/** The table, in the order of the document. */
export const operations: readonly Operation[] = [
  createAssessment,
  listAssessments,
  getAssessment,
  createRunCheck,
  createSampleSize,
  createPlan,
  listPlans,
  getPlan,
  amendPlan,
  addPlanRun,
  closePlan,
  abandonPlan,
  withdrawPlan,
  assessPlan,
  getPlanComparison,
  getPlanCounters,
  createStudy,
  listStudies,
  getStudy,
  getStudyCharts,
  ...assessmentPages,
  publishAssessment,
  getSummary,
  getSummaryStatus,
  getSummaryRuns,
  ...summaryPages,
  withdrawSummary,
  createBatch,
  createVerification,
  getVerifierPage,
  listProtocols,
  getProtocol,
  getKeys,
  getTrust,
  getLogCheckpoint,
  getLogTile,
  getOpenApi,
  getDocs,
  getProblemType,
  getLiveness,
  getReadiness,
  getMetrics,
]
