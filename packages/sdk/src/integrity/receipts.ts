/** The receipts in a summary: each signed, all of one plan, numbered without gaps, one for every run that was judged. */
import type { RunReceipt, SummaryPayload } from '../contract/index.ts'
import type { VerificationKey } from './ed25519-key.ts'
import { instantKey } from './instant.ts'
import { accepted, type Outcome, type Refusal, refused } from './outcome.ts'
import { verifyReceipt } from './receipt.ts'
import type { Trust } from './trust.ts'

/** Why the receipts of a summary were refused. */
export type ReceiptsCode =
  | 'ERR_REGISTRATION_CONTRADICTED'
  | 'ERR_RECEIPT_FORM'
  | 'ERR_RECEIPT_SIGNATURE'
  | 'ERR_RECEIPT_KEY'
  | 'ERR_RECEIPT_ISSUER'
  | 'ERR_RECEIPT_PLAN'
  | 'ERR_RECEIPT_NUMBER'
  | 'ERR_RECEIPT_TIME'
  | 'ERR_RECEIPT_RUN'
  | 'ERR_RECEIPT_INDEX'

/** What the reader brings along to check receipts with. */
export interface ReceiptReader {
  readonly trust?: Trust
  readonly keys?: readonly VerificationKey[]
  /** Index of the summary in a trusted log; null where that is not proven. */
  readonly logIndex: number | null
}

/** The receipts of a summary; null when a key that signed one is not at hand, so that nothing follows from them. */
export type ReadReceipts = readonly RunReceipt[] | null

/**
 * The receipts in a payload.
 *
 * 1. Receipts, stated registration and the plan in the result do not contradict each other. 2. Each receipt is signed, by a
 * key that may have signed for this issuer between its arrival and the summary, names issuer and plan of the summary, has
 * the next number from 1, and arrived no later than the summary was signed. 3. There is one for every run of the result, in
 * its order, with the same id and digest. 4. No two name one place in the log, and all places are before the summary's.
 *
 * @returns the receipts, or a closed code with the pointer of the receipt. Never throws.
 */
export async function readReceipts(
  { issue, result }: SummaryPayload,
  reader: ReceiptReader,
): Promise<Outcome<ReadReceipts, ReceiptsCode>> {
  const contradicted = contradiction(issue, result.plan)
  if (contradicted !== undefined) {
    return refused('ERR_REGISTRATION_CONTRADICTED', contradicted, '/issue/registration')
  }
  const receipts: RunReceipt[] = []
  for (const [at, jws] of issue.receipts.entries()) {
    const read = await readOne(jws, issue, reader)
    if (read.ok && read.value === null) return accepted(null)
    const problem = read.ok ? problemOf(read.value, at, issue, result.plan?.id) : read.problem
    if (problem !== undefined) return { ok: false, problem: { ...problem, pointer: pointerAt(at) } }
    if (read.ok && read.value !== null) receipts.push(read.value)
  }
  const problem = problemOfRuns(receipts, result.inputs.runs) ?? problemOfPlaces(receipts, reader.logIndex)
  return problem === undefined ? accepted(receipts) : { ok: false, problem }
}

type Issue = SummaryPayload['issue']

function contradiction({ registration, receipts }: Issue, plan: SummaryPayload['result']['plan']): string | undefined {
  const isRegistered = registration !== 'none'
  if (receipts.length > 0 && !isRegistered) return 'there are receipts of runs, but no plan'
  if (receipts.length === 0 && isRegistered) return 'a plan is stated, but no run has a receipt'
  if (plan === undefined && isRegistered) return 'a plan is stated, but the result knows of none'
  if (plan !== undefined && plan.registration !== registration) return 'issue and result state it otherwise'
  return undefined
}

async function readOne(
  jws: string,
  issue: Issue,
  { trust, keys = [] }: ReceiptReader,
): Promise<Outcome<RunReceipt | null, ReceiptsCode>> {
  const trusted = [...(trust?.keys.values() ?? [])].map(({ key }) => key)
  const read = await verifyReceipt(jws, [...trusted, ...keys])
  if (!read.ok) {
    const { code, detail } = read.problem
    return code === 'ERR_RECEIPT_NO_KEY' ? accepted(null) : refused(code, detail)
  }
  const { kid, receipt } = read.value
  const entry = trust?.keys.get(kid)
  if (entry === undefined) return accepted(trust === undefined ? receipt : null)
  const [from, to] = [instantKey(receipt.receivedAt) ?? '', instantKey(issue.issuedAt) ?? '']
  const isInTime = entry.notBefore <= to && (entry.notAfter === null || from <= entry.notAfter)
  if (entry.issuer === issue.issuer && isInTime) return accepted(receipt)
  return refused('ERR_RECEIPT_KEY', 'the key that signed the receipt may not have signed it for this issuer then')
}

function problemOf(
  receipt: RunReceipt | null,
  at: number,
  issue: Issue,
  plan: string | undefined,
): Refusal<ReceiptsCode> | undefined {
  if (receipt === null) return undefined
  if (receipt.issuer !== issue.issuer) return refused('ERR_RECEIPT_ISSUER', 'the receipt is of another issuer').problem
  if (receipt.plan !== plan) return refused('ERR_RECEIPT_PLAN', 'the receipt is of another plan').problem
  if (receipt.number !== at + 1) {
    return refused('ERR_RECEIPT_NUMBER', `the receipt has number ${receipt.number}, and stands in place ${at + 1}`)
      .problem
  }
  const isLater = (instantKey(receipt.receivedAt) ?? '') > (instantKey(issue.issuedAt) ?? '')
  return isLater ? refused('ERR_RECEIPT_TIME', 'the run arrived after the summary was signed').problem : undefined
}

function problemOfRuns(
  receipts: readonly RunReceipt[],
  runs: SummaryPayload['result']['inputs']['runs'],
): Refusal<ReceiptsCode> | undefined {
  const isOther = ({ run, digest }: RunReceipt, at: number) => run !== runs[at]?.run || digest !== runs[at]?.digest
  const at = receipts.findIndex(isOther)
  if (at >= 0) return refused('ERR_RECEIPT_RUN', 'the receipt is of another run than was judged', pointerAt(at)).problem
  if (receipts.length === runs.length || receipts.length === 0) return undefined
  return refused('ERR_RECEIPT_RUN', 'a run that was judged has no receipt', '/issue/receipts').problem
}

function problemOfPlaces(receipts: readonly RunReceipt[], logIndex: number | null): Refusal<ReceiptsCode> | undefined {
  const places = receipts.map((receipt) => receipt.logIndex)
  const at = places.findIndex((place, index) => places.indexOf(place) < index || place >= (logIndex ?? Infinity))
  if (at < 0) return undefined
  const detail = 'another receipt has this place in the log, or the summary was logged before it'
  return refused('ERR_RECEIPT_INDEX', detail, pointerAt(at)).problem
}

function pointerAt(at: number): string {
  return `/issue/receipts/${at}`
}
