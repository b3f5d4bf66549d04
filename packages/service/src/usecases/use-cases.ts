/** What the service can do, each tied to the world it works in. */
import type {
  Comparison,
  Protocol,
  Result,
  RunCheckReport,
  RunCheckRequest,
  SampleSizeReport,
  SampleSizeRequest,
} from '@fairpull/sdk/contract'
import { adviseSampleSize, checkRun } from '@fairpull/sdk/engine'
import type { Trust, VerificationReport } from '@fairpull/sdk/verify'
import type { PlanStore } from '../plan-ports.ts'
import type { MerkleLog, PublicKeySet, StoredAssessment } from '../ports.ts'
import type { ReportSource } from '../report/report-source.ts'
import { type AssessDeps, type AssessOutcome, type AssessRequest, assessComparison } from './assess-comparison.ts'
import { type AssessmentPage, listAssessments } from './list-assessments.ts'
import { findLogged } from './log-summary.ts'
import type { PlanDeps } from './plan-deps.ts'
import { createPlanUseCases, type PlanUseCases } from './plan-use-cases.ts'
import { reportSourceOf } from './report-source.ts'
import { createStudyUseCases, type StudyUseCases } from './study-use-cases.ts'
import { createSummaryUseCases, type SummaryUseCases } from './summary-use-cases.ts'
import { type VerifyRequest, verifySignedSummary } from './verify-summary.ts'

/** The trust list as it is served. */
export interface SignedTrustList {
  readonly list: string
  readonly root: string
  readonly version: number
  readonly expiresAt: string
}

/** `ready`; or `reads-only` while the log is stopped, and why it is. */
export type Readiness = { readonly status: 'ready' } | { readonly status: 'reads-only'; readonly log: string }

/** What the service can do. */
export interface UseCases {
  /** Assesses, signs and stores. */
  readonly assess: (request: AssessRequest) => Promise<AssessOutcome>
  /** Assesses only: nothing is signed or stored. */
  readonly preview: (comparison: Comparison) => Promise<Result>
  /** What one run shows by itself. */
  readonly checkRun: (request: RunCheckRequest) => RunCheckReport
  /** How many runs and mountings a comparison needs. */
  readonly adviseSampleSize: (request: SampleSizeRequest) => SampleSizeReport
  /** One assessment of an organisation; undefined for a missing one and for another organisation's alike. */
  readonly findAssessment: (tenant: string, id: string) => Promise<StoredAssessment | undefined>
  /** What the pages of an assessment are made from, for the organisation that submitted it; undefined as above. */
  readonly findReportSource: (tenant: string, id: string) => Promise<ReportSource | undefined>
  /** One page of the assessments of an organisation, newest first. */
  readonly listAssessments: (
    tenant: string,
    page: { readonly after: string | undefined; readonly limit: number },
  ) => Promise<AssessmentPage>
  /** The verification report of a signed summary. */
  readonly verify: (request: VerifyRequest) => Promise<VerificationReport>
  /** Publication and withdrawal. */
  readonly summaries: SummaryUseCases
  /** Registered plans. */
  readonly plans: PlanUseCases
  /** Repeatability studies. */
  readonly studies: StudyUseCases
  /** The protocols by id. */
  readonly protocols: Readonly<Record<string, Protocol>>
  /** The public keys. */
  readonly publicKeys: () => PublicKeySet
  /** The signed trust list, and what it says of itself. */
  readonly trustList: () => SignedTrustList
  /** The log, for everybody to read. */
  readonly log: Pick<MerkleLog, 'checkpoint' | 'tile'>
  /** What would become of a comparison sent now. @throws StoreError */
  readonly readiness: () => Promise<Readiness>
}

/** What the use cases need of the world. */
export interface UseCaseDeps extends AssessDeps, Omit<PlanDeps, 'store'> {
  readonly store: PlanStore
  readonly trustList: SignedTrustList
  /** Whom the service trusts when it verifies. */
  readonly trust: Trust
  readonly protocols: Readonly<Record<string, Protocol>>
}

/** The use cases over the world that they are given. */
export function createUseCases(deps: UseCaseDeps): UseCases {
  const { assessor, signer, store, protocols } = deps
  return {
    assess: (request) => assessComparison(request, deps),
    preview: (comparison) => assessor.assess(comparison),
    checkRun,
    adviseSampleSize,
    findAssessment: (tenant, id) => findLogged(tenant, id, deps),
    findReportSource: async (tenant, id) => {
      const stored = await store.assessments.find(tenant, id)
      return stored === undefined ? undefined : reportSourceOf(stored, store.runs)
    },
    listAssessments: (tenant, page) => listAssessments(store.assessments, tenant, page),
    verify: (request) => verifySignedSummary(request, deps),
    summaries: createSummaryUseCases(deps),
    plans: createPlanUseCases(deps),
    studies: createStudyUseCases(deps),
    protocols,
    log: deps.log,
    trustList: () => deps.trustList,
    publicKeys: () => signer.publicKeys(),
    readiness: async () => {
      await store.check()
      const log = await deps.log.stopped()
      return log === null ? { status: 'ready' } : { status: 'reads-only', log }
    },
  }
}
