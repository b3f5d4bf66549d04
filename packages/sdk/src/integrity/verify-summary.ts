/** Verification of a signed summary: one ordered procedure, offline, from the text and what the reader brings along. */
import type { Comparison, Result, SummaryPayload } from '../contract/index.ts'
import type { VerificationKey } from './ed25519-key.ts'
import { readHeader } from './header-policy.ts'
import { instantKey } from './instant.ts'
import { isSignedBy, readEnvelope } from './jws.ts'
import type { LogCode } from './log-receipt.ts'
import type { LogView } from './log-view.ts'
import { accepted, type Outcome, type Refusal, refused } from './outcome.ts'
import type { LogStep } from './place-in-log.ts'
import type { PlanFirstAnswer } from './plan-first.ts'
import type { GivenData } from './recomputation.ts'
import type { RegistrationCode } from './registration.ts'
import { readPayload } from './summary-payload.ts'
import type { KeyStep, Trust } from './trust.ts'
import { type VerificationCode, VerificationError } from './verification-codes.ts'
import type { VerificationReport, WithdrawalReport } from './verification-report.ts'
import { report } from './write-report.ts'

/** What the reader brings along. Nothing is fetched: what is missing here is reported as not checked. */
export interface VerifyOptions {
  /** Whom the reader trusts, from `readTrust`. Without it the best answer is `intact-key-unknown`. */
  readonly trust?: Trust
  /** Keys that nobody vouches for, from `readKeySet`: they show that a signature is intact, not whose it is. */
  readonly keys?: readonly VerificationKey[]
  /** Its place in the log, as it stands beside the summary in an answer: index, checkpoint and proof. */
  readonly log?: unknown
  /** The log itself, from `openLogView`: finds the summary in it, and the plan and its runs when `comparison` is there. */
  readonly view?: LogView
  /** Asks the record whether an intact summary was withdrawn. What it throws is passed on. */
  readonly askRecord?: (payload: SummaryPayload) => WithdrawalReport | Promise<WithdrawalReport>
  /** The comparison document with its runs, to be held against the digests in the summary. */
  readonly comparison?: Comparison
  /** Computes the result anew; called only when `comparison` is the one that was judged. What it throws is passed on. */
  readonly recompute?: (comparison: Comparison) => Result | Promise<Result>
}

/** A summary that verified. */
export interface VerifiedSummary {
  /** The signed payload. */
  readonly payload: SummaryPayload
  /** The report; its verdict is not `refused`. */
  readonly report: VerificationReport
}

/**
 * Verifies a signed summary and reports how far it holds. The first step that fails ends the procedure.
 *
 * 1. envelope: the text is a compact JWS in its one canonical form; the header is strict JSON.
 * 2. header: it holds exactly `alg` Ed25519, `typ` fairpull-summary+jws and a `kid` that can be a thumbprint.
 * 3. payload: the bytes are strict JSON in RFC 8785 form and have the members that the next steps need.
 * 4. signature: a key with this `kid` was brought along and signed exactly this text. From here on: intact.
 * 5. key: at the time of signing the key was trusted for this issuer, or nobody vouches for it (noted, not failed).
 *    A key that was revoked from a log index on is trusted for what a trusted log shows at a lower one.
 * 6. log: if a place in the log was brought along, its proof leads from this text to a checkpoint of that log; if the log
 *    itself was, it continues that checkpoint.
 * 7. registration: the stated registration and the receipts do not contradict each other, nor the runs that were judged. With
 *    the comparison and the log, also whether the plan was logged before every run.
 * 8. recomputation: if data were brought along, they are the signed ones and the result comes out again.
 * 9. scope: what is said of whom, within which limits, and whether issuer and submitter are one party. Never fails.
 *
 * @param jws the signed summary; anything is taken, as hostile
 * @returns the report; a refusal is an answer, not an exception. No clock, no network.
 */
export async function verifySummary(jws: unknown, options: VerifyOptions = {}): Promise<VerificationReport> {
  const envelope = readEnvelope(jws)
  if (!envelope.ok) return report({ failure: envelope.problem })
  const header = readHeader(envelope.value.header)
  if (!header.ok) return report({ failure: header.problem })
  const { kid } = header.value
  const read = readPayload(envelope.value.payload)
  if (!read.ok) return report({ kid, failure: read.problem })
  const payload = read.value

  const broken = await checkSignature(envelope.value.text, kid, options)
  if (broken !== undefined) return report({ kid, failure: broken })
  const place = await placeOf(envelope.value.text, options)
  const logged = place?.ok === true ? place.value : undefined
  const logIndex = logged?.report.index ?? null
  const key = await stepOfKey(payload, kid, options.trust, logIndex)
  const signed = { kid, payload, status: key.status, logged, withdrawn: await options.askRecord?.(payload) }
  const failure = key.failure ?? (place?.ok === false ? place.problem : undefined)
  if (failure !== undefined) return report({ ...signed, failure })

  const data = await dataOf(payload, options)
  const comparison = data?.isSame === true ? options.comparison : undefined
  const plan = await registrationOf(payload, { ...options, comparison, logIndex })
  if (!plan.ok) return report({ ...signed, failure: plan.problem })

  const recomputed = await data?.recomputed()
  return report({ ...signed, plan: plan.value, recomputed, failure: recomputed?.failure })
}

/**
 * As `verifySummary`, for callers that want the payload or an exception.
 *
 * @param options `acceptUnknownKey` lets an intact summary through whose key nobody vouches for
 * @throws VerificationError with the code and the step; the payload is not exposed. `ERR_KEY_UNKNOWN` when the summary is
 * intact, but its key is unknown.
 */
export async function verifySummaryOrThrow(
  jws: unknown,
  options: VerifyOptions & { readonly acceptUnknownKey?: boolean } = {},
): Promise<VerifiedSummary> {
  const verification = await verifySummary(jws, options)
  const { verdict, failure, payload } = verification
  if (failure !== null) throw new VerificationError(failure.code, failure.sentence, failure.pointer)
  if (verdict === 'intact-key-unknown' && options.acceptUnknownKey !== true) {
    throw new VerificationError('ERR_KEY_UNKNOWN', 'the signature is intact, but nobody you trust vouches for the key')
  }
  if (payload === null) throw new TypeError('a report without failure has a payload')
  return { payload, report: verification }
}

/** Step 4. A trusted key comes first; a key nobody vouches for serves where there is none. */
async function checkSignature(
  text: string,
  kid: string,
  { trust, keys }: VerifyOptions,
): Promise<Refusal<VerificationCode> | undefined> {
  const key = trust?.keys.get(kid)?.key ?? keys?.find((each) => each.kid === kid)
  if (key === undefined) {
    return refused('ERR_SIGNATURE_NO_KEY', 'none of the keys at hand has the thumbprint that the header names').problem
  }
  if (await isSignedBy(text, key)) return undefined
  return refused('ERR_SIGNATURE_BROKEN', 'the text is not what the key signed').problem
}

/** Step 5. */
async function stepOfKey(
  { issue }: SummaryPayload,
  kid: string,
  trust: Trust | undefined,
  logIndex: number | null,
): Promise<KeyStep> {
  const issuedAt = instantKey(issue.issuedAt)
  if (trust === undefined || issuedAt === undefined) return { status: 'unknown', failure: undefined }
  // Whoever brings trust along has it from `readTrust`, and so has this loaded.
  const { judgeKey } = await import('./trust.ts')
  return judgeKey(trust, { kid, issuer: issue.issuer, issuedAt, logIndex })
}

/** Step 6; before step 5 in time, since a revoked key is judged by the place in the log. */
async function placeOf(text: string, options: VerifyOptions): Promise<Outcome<LogStep, LogCode> | undefined> {
  if (options.log === undefined && options.view === undefined) return undefined
  const { placeInLog } = await import('./place-in-log.ts')
  return placeInLog(text, options)
}

/** Step 7. */
async function registrationOf(
  payload: SummaryPayload,
  known: KnownOfPlan,
): Promise<Outcome<PlanFirstAnswer, RegistrationCode>> {
  const { issue, result } = payload
  if (issue.registration === 'none' && issue.receipts.length === 0 && result.plan === undefined) return accepted(noPlan)
  // Loaded for summaries with a plan: a page that checks others does not carry it.
  const { checkRegistration } = await import('./registration.ts')
  return checkRegistration(payload, known)
}

type KnownOfPlan = Pick<VerifyOptions, 'trust' | 'keys' | 'view'> & {
  readonly comparison: Comparison | undefined
  readonly logIndex: number | null
}

const noPlan: PlanFirstAnswer = { planFirst: 'no-plan', sentence: 'no plan was registered before the first run' }

/** Step 8, begun: step 7 asks whether the data are those that were judged. */
async function dataOf(
  { result }: SummaryPayload,
  { comparison, recompute }: VerifyOptions,
): Promise<GivenData | undefined> {
  if (comparison === undefined) return undefined
  const { givenData } = await import('./recomputation.ts')
  return givenData(result, comparison, recompute)
}
