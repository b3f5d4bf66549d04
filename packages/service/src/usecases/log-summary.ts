/** A stored summary gets its place in the log: persisted first, logged second, answered last. */
import type { LogReceipt } from '@fairpull/sdk/contract'
import { summaryLogEntry } from '@fairpull/sdk/verify'
import type { MerkleLog, Store, StoredAssessment } from '../ports.ts'

/** What logging needs of the world. */
export interface LogDeps {
  readonly store: Pick<Store, 'assessments'>
  readonly log: MerkleLog
}

/**
 * The place of a stored summary in the log; made now where it is still missing, because the process ended in between.
 *
 * Harmless when repeated or done twice at once: an entry has one place, and the first receipt to be noted stays.
 *
 * @throws StoreError, LogStopped; the summary stays stored and is logged by whoever comes next.
 */
export async function loggedPlace(
  { tenant, id, jws, log: known }: Pick<StoredAssessment, 'tenant' | 'id' | 'jws' | 'log'>,
  { store, log }: LogDeps,
): Promise<LogReceipt> {
  if (known !== null) return known
  const [index] = await log.append([await summaryLogEntry(jws)])
  if (index === undefined) throw new TypeError('the log told no place for a summary')
  return store.assessments.place(tenant, id, await log.receipt(index))
}

/** An assessment of this tenant with its place in the log. */
export async function findLogged(
  tenant: string,
  id: string,
  deps: LogDeps,
): Promise<(StoredAssessment & { readonly log: LogReceipt }) | undefined> {
  const found = await deps.store.assessments.find(tenant, id)
  return found === undefined ? undefined : { ...found, log: await loggedPlace(found, deps) }
}

/** Summaries that are logged in one round. */
const CAUGHT_UP_AT_ONCE = 256

/** Logs what was stored and never logged, since nobody came back for it. @returns how many. */
export async function catchUpLog(deps: LogDeps): Promise<number> {
  const missing = await deps.store.assessments.unlogged(CAUGHT_UP_AT_ONCE)
  await Promise.all(missing.map((each) => loggedPlace({ ...each, log: null }, deps)))
  return missing.length
}
