import type { IssuedRecords, PlanStore, Secrets } from '../plan-ports.ts'
import type { Clock, Ids, MerkleLog, Signer } from '../ports.ts'
import type { Assessor } from './assessor.ts'

/** What the use cases of plans need of the world. */
export interface PlanDeps {
  readonly store: Pick<PlanStore, 'idempotency' | 'assessments' | 'runs' | 'plans'>
  readonly log: MerkleLog
  readonly issuedRecords: IssuedRecords
  readonly secrets: Secrets
  readonly signer: Signer
  readonly assessor: Assessor
  readonly clock: Clock
  readonly ids: Ids
  /** Name of this service in receipts and summaries. */
  readonly issuer: string
}
