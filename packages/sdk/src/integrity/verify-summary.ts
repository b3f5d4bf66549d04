/** Verification of a signed summary: one ordered procedure, offline, from the text and what the reader brings along. */
import type { Comparison, Result, SummaryPayload } from '../contract/index.ts'
import type { VerificationKey } from './ed25519-key.ts'
import { readHeader } from './header-policy.ts'
import { instantKey } from './instant.ts'
import { isSignedBy, readEnvelope } from './jws.ts'
import type { LogCode, LogEvidence } from './log-receipt.ts'
import type { LogView } from './log-view.ts'
import { accepted, type Outcome, type Refusal, refused } from './outcome.ts'
import type { PlanFirstAnswer } from './plan-first.ts'
import type { InputComparison } from './recompute.ts'
import type { RegistrationCode } from './registration.ts'
import { readPayload } from './summary-payload.ts'
import { type KeyStatus, keyStatus, type Trust } from './trust.ts'
import { type VerificationCode, VerificationError } from './verification-codes.ts'
import type { RecomputationReport, VerificationReport, WithdrawalReport } from './verification-report.ts'
import { notAsked, report } from './write-report.ts'

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
  const logged = await placeInLog(envelope.value.text, options)
  const evidence = logged?.ok === true ? logged.value : undefined
  const logIndex = evidence?.index ?? null
  const status = statusOfKey(payload, kid, options.trust, logIndex)
  const signed = { kid, payload, status, ...shown(evidence, await options.askRecord?.(payload)) }
  const failure = problemOfKey(status) ?? problemOfLog(logged)
  if (failure !== undefined) return report({ ...signed, failure })

  const inputs = await inputsOf(payload.result, options.comparison)
  const comparison = inputs?.isSame === true ? options.comparison : undefined
  const plan = await registrationOf(payload, { ...options, comparison, logIndex })
  if (!plan.ok) return report({ ...signed, failure: plan.problem })

  const recomputed = await recomputation(payload.result, inputs, options)
  const registered = { ...signed, plan: plan.value, recomputed }
  return report(recomputed.answer === 'differs' ? { ...registered, failure: differs() } : registered)
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
function statusOfKey(
  { issue }: SummaryPayload,
  kid: string,
  trust: Trust | undefined,
  logIndex: number | null,
): KeyStatus {
  const issuedAt = instantKey(issue.issuedAt)
  if (trust === undefined || issuedAt === undefined) return 'unknown'
  return keyStatus(trust, { kid, issuer: issue.issuer, issuedAt, logIndex })
}

function problemOfKey(status: KeyStatus): Refusal<VerificationCode> | undefined {
  switch (status) {
    case 'trusted':
    case 'unknown':
      return undefined
    case 'other-issuer':
      return refused('ERR_KEY_OTHER_ISSUER', 'the key is trusted for another issuer', '/issue/issuer').problem
    case 'outside-window':
      return refused('ERR_KEY_OUTSIDE_WINDOW', 'the key was not in use at the time of signing', '/issue/issuedAt')
        .problem
    case 'revoked':
      return refused('ERR_KEY_REVOKED', 'the key was revoked, and nothing shows that the summary is older').problem
  }
}

/** Step 6; before step 5 in time, since a revoked key is judged by the place in the log. */
async function placeInLog(
  text: string,
  { log, view, trust }: VerifyOptions,
): Promise<Outcome<LogEvidence | null, LogCode> | undefined> {
  if (log === undefined && view === undefined) return undefined
  // Loaded when something of the log was brought along: a page that only checks signatures does not carry the proofs.
  const { checkLogReceipt, checkLogView, summaryLogEntry } = await import('./log-receipt.ts')
  const entry = await summaryLogEntry(text)
  const given = log === undefined ? undefined : await checkLogReceipt(entry, log, trust?.logs ?? [])
  if (view === undefined || given?.ok === false) return given
  return checkLogView(entry, view, given?.value)
}

function problemOfLog(logged: Outcome<unknown, LogCode> | undefined): Refusal<VerificationCode> | undefined {
  return logged === undefined || logged.ok ? undefined : logged.problem
}

function shown(logged: LogEvidence | null | undefined, withdrawn: WithdrawalReport | undefined) {
  return { ...(logged === undefined ? {} : { logged }), ...(withdrawn === undefined ? {} : { withdrawn }) }
}

/** Step 7. */
async function registrationOf(
  payload: SummaryPayload,
  { trust, keys, view, comparison, logIndex }: ReceiptOptions,
): Promise<Outcome<PlanFirstAnswer, RegistrationCode>> {
  const { issue, result } = payload
  if (issue.registration === 'none' && issue.receipts.length === 0 && result.plan === undefined) return accepted(noPlan)
  // Loaded for summaries with a plan: a page that checks others does not carry it.
  const { checkRegistration } = await import('./registration.ts')
  const known = { ...(trust === undefined ? {} : { trust }), ...(keys === undefined ? {} : { keys }) }
  return checkRegistration(payload, { ...known, view, comparison, logIndex })
}

type ReceiptOptions = Pick<VerifyOptions, 'trust' | 'keys' | 'view'> & {
  readonly comparison: Comparison | undefined
  readonly logIndex: number | null
}

const noPlan: PlanFirstAnswer = { planFirst: 'no-plan', sentence: 'no plan was registered before the first run' }

async function inputsOf({ inputs }: Result, comparison: Comparison | undefined): Promise<InputComparison | undefined> {
  if (comparison === undefined) return undefined
  // Loaded when data are there: a page that only checks signatures does not carry the digests.
  const { compareInputs } = await import('./recompute.ts')
  return compareInputs(inputs, comparison)
}

/** Step 8. */
async function recomputation(
  result: Result,
  inputs: InputComparison | undefined,
  { comparison, recompute }: VerifyOptions,
): Promise<RecomputationReport> {
  if (comparison === undefined || inputs === undefined) return notAsked
  const { otherRuns } = inputs
  if (!inputs.isSame) return { ...notAsked, answer: 'other-inputs', otherRuns }
  if (recompute === undefined) return { ...notAsked, answer: 'inputs-match' }
  const { compareResults } = await import('./recompute.ts')
  return { ...compareResults(result, await recompute(comparison)), otherRuns }
}

function differs(): Refusal<VerificationCode> {
  return refused('ERR_RECOMPUTED_DIFFERS', 'the same data and method give another result', '/result').problem
}
