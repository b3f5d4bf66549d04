/** The client of the Fairpull service. The entry `@fairpull/sdk`; runs in browsers and Node alike. */

export { encodeChannelValues } from '../contract/channel-values.ts'
export type { BatchItem, ManyOptions, ManyOutcome, ManyProgress, ManySource } from './assess-many.ts'
export { type AuditCode, type AuditOptions, auditLog, type LogAudit } from './audit-log.ts'
export type { CallFailure, SafeOutcome, WithResponse } from './call.ts'
export { Call } from './call.ts'
export { compactChannels } from './compact-channels.ts'
export type { ClientError, Exchange } from './errors.ts'
export {
  AbortError,
  ApiError,
  BodyError,
  ConfigurationError,
  FairpullError,
  isApiError,
  isFairpullError,
  NetworkError,
  PagingError,
  TimeoutError,
  UnexpectedAnswerError,
} from './errors.ts'
export { Fairpull } from './fairpull.ts'
export type { Hooks, RequestEvent, ResponseEvent, RetryEvent } from './hooks.ts'
export type { PageLimits } from './pages.ts'
export type {
  AssessmentEntry,
  Assessments,
  ComparisonSource,
  CreateOptions,
  ListOptions,
} from './resources/assessments.ts'
export type { KeySet, Keys } from './resources/keys.ts'
export type { Log } from './resources/log.ts'
export type {
  AssessPlanOptions,
  PlanAmendmentRequest,
  PlanEntry,
  PlanListOptions,
  PlanRunRequest,
  Plans,
} from './resources/plans.ts'
export type { ProtocolEntry, Protocols } from './resources/protocols.ts'
export type { RunChecks } from './resources/run-checks.ts'
export type { SampleSizes } from './resources/sample-sizes.ts'
export type { Studies, StudyEntry, StudyListOptions } from './resources/studies.ts'
export type {
  PublishedSummary,
  PublishOptions,
  Summaries,
  SummaryStatus,
  WithdrawalNotice,
} from './resources/summaries.ts'
export type { TrustListOptions, TrustLists } from './resources/trust.ts'
export type { VerificationRequest, Verifications } from './resources/verifications.ts'
export type { Clock, Runtime } from './runtime.ts'
export type { CallOptions, FairpullOptions } from './settings.ts'
export type { OutgoingRequest } from './transport.ts'
export type { Assessment } from './verified-summary.ts'
