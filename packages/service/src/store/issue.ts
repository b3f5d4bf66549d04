import type { Issuance, IssueOutcome } from '../ports.ts'
import { insertAssessment } from './assessments.ts'
import { note } from './audit.ts'
import { type Database, type DatabaseTransaction, inTransaction, throughOutage } from './database.ts'
import { claimKey } from './idempotency.ts'
import { type CompressedRun, compressRuns, insertRuns } from './runs.ts'

/** How long a request outlasts a database that restarts. [ms] */
const OUTAGE_PATIENCE_MS = 8_000

/**
 * Stores everything that one acknowledged 201 leaves behind, in one transaction.
 *
 * 1. The runs are compressed, before any connection is taken.
 * 2. The Idempotency-Key is claimed by inserting its record, answer included. Whoever comes second waits at the
 *    primary key until the first has committed, and then gets the first's answer, or `conflict`.
 * 3. The runs and the assessment are inserted; rows that are there already are left alone.
 * 4. The commit is flushed to disk before it is reported (`synchronous_commit`).
 *
 * Contention is retried with everything rolled back. So is a database that went away, for some seconds: should the
 * commit have succeeded with only its answer lost, the second run finds its own record under the key, or its own
 * assessment under the identity, and changes nothing. Retries are harmless because every insert is keyed by what the
 * caller chose: key, run digest, identity.
 */
export async function issue(db: Database, issuance: Issuance): Promise<IssueOutcome> {
  const runs = await compressRuns(issuance.runs)
  return throughOutage(OUTAGE_PATIENCE_MS, () =>
    inTransaction(db, (transaction) => issueWithin(transaction, issuance, runs)),
  )
}

/**
 * The same within a transaction of the caller. Nothing but a failure of the database is thrown, so that many
 * issuances, and what else has to be atomic with them, can share one transaction; in one order of keys for all.
 */
export async function issueWithin(
  transaction: DatabaseTransaction,
  issuance: Issuance,
  runs: readonly CompressedRun[],
): Promise<IssueOutcome> {
  const { tenant, idempotency, assessment, response } = issuance
  if (idempotency !== null) {
    const claimed = await claimKey(transaction, tenant, idempotency, response, assessment.createdAt)
    if (claimed.outcome !== 'unused') return claimed
  }
  await insertRuns(transaction, tenant, runs, assessment.createdAt)
  if (await insertAssessment(transaction, tenant, assessment)) {
    await note(transaction, { tenant, at: assessment.createdAt, event: 'assessment-issued', subject: assessment.id })
  }
  return { outcome: 'issued', response }
}
