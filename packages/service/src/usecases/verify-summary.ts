import type { Comparison, SummaryPayload } from '@fairpull/sdk/contract'
import {
  type LogView,
  openLogView,
  readTilePath,
  readTrust,
  type Trust,
  type VerificationReport,
  verifySummary,
} from '@fairpull/sdk/verify'
import { LogStopped } from '../log/log-stopped.ts'
import type { Clock, MerkleLog, Signer, Store } from '../ports.ts'
import type { Assessor } from './assessor.ts'
import { withdrawalReport } from './publish-summary.ts'

/** Before every summary: a service trusts its own key for as long as it has it. */
const BEFORE_ALL = '1970-01-01T00:00:00Z'

/**
 * The trust of a service that knows nobody but itself.
 *
 * @throws TypeError when the signer's own keys cannot be read back; a defect.
 */
export async function trustInSelf(signer: Signer, issuer: string, logs: readonly string[]): Promise<Trust> {
  const keys = signer.publicKeys().keys.map((jwk) => ({ jwk, issuer, notBefore: BEFORE_ALL }))
  const trust = await readTrust({ keys, logs })
  if (!trust.ok) throw new TypeError(`the keys of the signer cannot be read: ${trust.problem.detail}`)
  return trust.value
}

/** What is to be verified. */
export interface VerifyRequest {
  readonly summary: string
  readonly comparison: Comparison | undefined
  /** Its place in the log; any JSON value, taken as hostile. */
  readonly log: unknown
}

/** What verification needs of the world. */
export interface VerifyDeps {
  readonly trust: Trust
  readonly assessor: Assessor
  readonly store: Pick<Store, 'assessments'>
  readonly log: Pick<MerkleLog, 'checkpoint' | 'tile'>
  readonly clock: Clock
}

/**
 * The verification report of a signed summary; with its comparison, also whether the numbers come out again.
 *
 * The procedure is the one that works offline. A summary that does not verify is a report, not an error.
 */
export async function verifySignedSummary(
  { summary, comparison, log }: VerifyRequest,
  deps: VerifyDeps,
): Promise<VerificationReport> {
  const { trust, assessor, store, clock } = deps
  const askRecord = (payload: SummaryPayload) => withdrawalReport(payload, summary, { store, clock })
  const known = { trust, askRecord, ...(log === undefined ? {} : { log }) }
  if (comparison === undefined) return verifySummary(summary, known)
  const view = comparison.plan === undefined ? undefined : await ownView(deps)
  const data = { comparison, recompute: (given: Comparison) => assessor.assess(given) }
  return verifySummary(summary, { ...known, ...data, ...(view === undefined ? {} : { view }) })
}

/** The own log, to find a plan and its runs in; undefined while it has stopped, since it vouches for nothing then. */
async function ownView({ log, trust }: Pick<VerifyDeps, 'log' | 'trust'>): Promise<LogView | undefined> {
  try {
    const checkpoint = new TextEncoder().encode(await log.checkpoint())
    const read = async (path: string) => {
      const tile = readTilePath(path)
      return tile === undefined ? undefined : log.tile(tile)
    }
    const view = await openLogView({ checkpoint, read }, trust.logs)
    return view.ok ? view.value : undefined
  } catch (error) {
    if (error instanceof LogStopped) return undefined
    throw error
  }
}
