/** Summaries are made public, read by anybody, and withdrawn. */
import type { Comparison, LogReceipt, SummaryPayload } from '@fairpull/sdk/contract'
import { type WithdrawalReport, withdrawalLogEntry } from '@fairpull/sdk/verify'
import { UUID } from '../identity.ts'
import type { Clock, Signer, Store, StoredAssessment } from '../ports.ts'
import { type LogDeps, loggedPlace } from './log-summary.ts'
import { reportSourceOf } from './report-source.ts'

/** What publication needs of the world. */
export interface PublicityDeps extends LogDeps {
  readonly store: Pick<Store, 'assessments' | 'runs'>
  readonly signer: Signer
  readonly clock: Clock
  readonly issuer: string
}

/** A summary with its place in the log. */
export type LoggedAssessment = StoredAssessment & { readonly log: LogReceipt }

/** A withdrawn summary: its tombstone and where that stands in the log. */
export interface Tombstone {
  readonly id: string
  readonly at: Date
  readonly reason: string
  readonly notice: string
  readonly log: LogReceipt
}

/**
 * Publishes a summary: it is logged first, so that whoever reads it can check its place.
 *
 * @returns undefined when this tenant has none; a withdrawn one as it is, since a withdrawal is for good.
 */
export async function publishSummary(
  { tenant, id, withRuns }: { readonly tenant: string; readonly id: string; readonly withRuns: boolean },
  deps: PublicityDeps,
): Promise<LoggedAssessment | undefined> {
  const found = await deps.store.assessments.find(tenant, id)
  if (found === undefined) return undefined
  const log = await loggedPlace(found, deps)
  const published = await deps.store.assessments.publish(tenant, id, { at: deps.clock.now(), withRuns })
  return published === undefined ? undefined : { ...published, log }
}

/** A summary that was ever published; undefined for a private one and a missing one alike. */
export async function findPublished(id: string, deps: LogDeps): Promise<LoggedAssessment | undefined> {
  const found = await deps.store.assessments.findAnywhere(id)
  if (found === undefined || found.publication === null) return undefined
  return { ...found, log: await loggedPlace(found, deps) }
}

/** The comparison of a published summary, when its runs were published as well and it was not withdrawn. */
export async function findPublishedRuns(
  id: string,
  deps: Pick<PublicityDeps, 'store'>,
): Promise<Comparison | undefined> {
  const found = await deps.store.assessments.findAnywhere(id)
  if (found?.status !== 'published' || found.publication?.withRuns !== true) return undefined
  const { comparison } = await reportSourceOf(found, deps.store.runs)
  return comparison ?? undefined
}

/**
 * Withdraws a summary, published or not: it may have been handed out.
 *
 * 1. The withdrawal is signed. 2. It is stored; the first one stays. 3. It is logged. A repetition answers the first.
 *
 * @returns undefined when this tenant has no such summary.
 */
export async function withdrawSummary(
  { tenant, id, reason }: { readonly tenant: string; readonly id: string; readonly reason: string },
  deps: PublicityDeps,
): Promise<Tombstone | undefined> {
  const at = deps.clock.now()
  const { issuer } = deps
  const notice = await deps.signer.signWithdrawal({ issuer, summary: id, at: at.toISOString(), reason })
  const withdrawn = await deps.store.assessments.withdraw(tenant, id, { at, reason, notice })
  return withdrawn === undefined ? undefined : tombstoneOf(withdrawn, deps)
}

/** The tombstone of a summary; undefined while it stands. */
export async function tombstoneOf(
  { id, withdrawal }: Pick<StoredAssessment, 'id' | 'withdrawal'>,
  { log }: Pick<LogDeps, 'log'>,
): Promise<Tombstone | undefined> {
  if (withdrawal === null) return undefined
  const [index] = await log.append([await withdrawalLogEntry(withdrawal.notice)])
  if (index === undefined) throw new TypeError('the log told no place for a withdrawal')
  return { id, ...withdrawal, log: await log.receipt(index) }
}

/** What the record of this service says of a withdrawal; nothing of a summary that is not its own. */
export async function withdrawalReport(
  { issue }: SummaryPayload,
  summary: string,
  { store, clock }: { readonly store: Pick<Store, 'assessments'>; readonly clock: Clock },
): Promise<WithdrawalReport> {
  const found = UUID.test(issue.id) ? await store.assessments.findAnywhere(issue.id) : undefined
  if (found?.jws !== summary) return { status: 'not-checked', asOf: null, reason: null }
  const { withdrawal } = found
  if (withdrawal === null) return { status: 'not-withdrawn', asOf: clock.now().toISOString(), reason: null }
  return { status: 'withdrawn', asOf: withdrawal.at.toISOString(), reason: withdrawal.reason }
}
