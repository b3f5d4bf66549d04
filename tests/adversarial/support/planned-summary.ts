/** A summary under a plan with everything that shows its order: receipts, comparison, and the log they are entries of. */
import type {
  Comparison,
  Plan,
  Registration,
  Result,
  Run,
  RunReceipt,
  SummaryPayload,
} from '../../../packages/sdk/src/contract/index.ts'
import {
  inputDigests,
  type LogView,
  openLogView,
  planLogEntry,
  planRunLogEntry,
  readTilePath,
  readVerifierKey,
  runDigest,
  type SigningKey,
  signReceipt,
  signSummary,
  summaryLogEntry,
  verifierKeyText,
} from '../../../packages/sdk/src/integrity/index.ts'
import type { MerkleLog } from '../../../packages/service/src/ports.ts'
import { createMemoryLog, createMemoryLogStorage } from '../../support/memory-log.ts'
import { payload, result } from './summary-fixture.ts'

export const PLAN_LOG_ORIGIN = 'log.example.org'
export const PLAN_ID = '0199c0de-0000-7000-8000-00000000000a'
const SALT = 'ab'.repeat(32)
const ISSUED_AT = '2026-03-01T10:00:00Z'

/** What a case changes. Whatever is not changed is sound, and signed. */
export interface PlannedChange {
  readonly registration?: Registration
  /** Changes payloads before they are signed. */
  readonly receipts?: (sound: readonly RunReceipt[]) => readonly RunReceipt[]
  /** Changes the list of signed receipts. */
  readonly signed?: (sound: readonly string[]) => readonly string[]
  /** Key that signs the receipts. */
  readonly receiptKey?: SigningKey
  /** Changes the result. */
  readonly result?: (sound: Result) => Result
  readonly issue?: Partial<SummaryPayload['issue']>
  /** Order in which plan (`p`), runs (`1` to `3`) and an entry of somebody else (`x`) enter the log. */
  readonly logged?: string
  /** Changes the terms after they were committed to. */
  readonly terms?: Partial<Plan>
  /** Whether version 2, after the first run, is the one that is judged. */
  readonly isAmended?: boolean
}

/** A summary under a plan. */
export interface PlannedSummary {
  readonly summary: string
  readonly payload: SummaryPayload
  readonly comparison: Comparison
  readonly log: MerkleLog
  readonly logKey: SigningKey
  /** The files of the log. */
  readonly files: { readonly checkpoint: Uint8Array; readonly read: (path: string) => Promise<Uint8Array | undefined> }
}

const terms: Plan = {
  product: 'air filter',
  protocol: 'motorcycle-rollers@1',
  facility: { id: 'hall' },
  vehicle: { id: 'v1' },
  changes: [{ what: 'air filter', role: 'under-test' }],
  conditioningRuns: 0,
  primary: {
    id: 'c1',
    quantity: 'wheel-power',
    over: { kind: 'peak' },
    relation: 'at-least',
    gain: { value: 1, unit: '%' },
  },
  exclusionRules: [],
  blocks: [
    { mounting: 'm1', side: 'baseline', runs: 1 },
    { mounting: 'm2', side: 'modified', runs: 2 },
  ],
} as unknown as Plan

const runs: readonly Run[] = [
  { id: 'b1', side: 'baseline', purpose: 'measured', mounting: 'm1' },
  { id: 'm1', side: 'modified', purpose: 'measured', mounting: 'm2' },
  { id: 'm2', side: 'modified', purpose: 'measured', mounting: 'm2' },
]

/** A sound summary under a plan, or one with a change. */
export async function plannedSummary(
  key: SigningKey,
  logKey: SigningKey,
  change: PlannedChange = {},
): Promise<PlannedSummary> {
  const log = createMemoryLog(createMemoryLogStorage(PLAN_LOG_ORIGIN), logKey)
  const digests = await Promise.all(runs.map(runDigest))
  const places = await logEverything(log, digests, change)
  const runPlaces = runs.map((_, at) => places.get(String(at + 1)) ?? -1)
  const receipts = runs.map(
    (run, at): RunReceipt => ({
      ...{ issuer: payload.issue.issuer, plan: PLAN_ID, number: at + 1, run: run.id, digest: digests[at] ?? '' },
      ...{ mounting: null, logIndex: runPlaces[at] ?? -1, receivedAt: `2026-03-01T09:3${at}:00Z` },
    }),
  )
  const comparison = comparisonOf(receipts, places, change)
  const registration = change.registration ?? (change.isAmended === true ? 'amended' : 'pre-registered')
  const judged = resultOf(await inputDigests(comparison), registration)
  const signed = await Promise.all(
    (change.receipts?.(receipts) ?? receipts).map((each) => signReceipt(each, change.receiptKey ?? key)),
  )
  const issued: SummaryPayload = {
    issue: {
      ...payload.issue,
      ...{ issuedAt: ISSUED_AT, registration, receipts: change.signed?.(signed) ?? signed },
      ...change.issue,
    },
    result: change.result?.(judged) ?? judged,
  }
  const summary = await signSummary(issued, key)
  await log.append([await summaryLogEntry(summary)])
  return { summary, payload: issued, comparison, log, logKey, files: await filesOf(log) }
}

async function logEverything(
  log: MerkleLog,
  digests: readonly string[],
  { logged = 'xp123x', isAmended = false }: PlannedChange,
): Promise<ReadonlyMap<string, number>> {
  const places = new Map<string, number>()
  const first = { plan: PLAN_ID, version: 1, reason: null, terms }
  for (const [at, what] of [...(isAmended ? `${logged}a` : logged)].entries()) {
    const number = Number(what)
    const entry =
      what === 'p'
        ? await planLogEntry(first, SALT)
        : what === 'a'
          ? await planLogEntry({ ...first, version: 2, reason: 'a longer band' }, SALT)
          : number > 0
            ? await planRunLogEntry({ plan: PLAN_ID, number, digest: digests[number - 1] ?? '', mounting: null }, SALT)
            : Uint8Array.of(at)
    const [index = -1] = await log.append([entry])
    places.set(what, index)
  }
  return places
}

function comparisonOf(
  receipts: readonly RunReceipt[],
  places: ReadonlyMap<string, number>,
  change: PlannedChange,
): Comparison {
  const amendment = {
    ...{ version: 2, at: '2026-03-01T09:40:00Z', reason: 'a longer band' },
    ...{ logIndex: places.get('a') ?? -1, afterFirstRun: true },
  }
  return {
    protocol: 'motorcycle-rollers@1',
    runs,
    plan: {
      ...{ id: PLAN_ID, registeredAt: '2026-03-01T09:00:00Z', logIndex: places.get('p') ?? 0, salt: SALT },
      terms: { ...terms, ...change.terms },
      amendments: change.isAmended === true ? [amendment] : [],
      runs: receipts.map(({ number, run, digest, logIndex, receivedAt }) => ({
        number,
        run,
        digest,
        logIndex,
        receivedAt,
      })),
      ...{ facilityRecord: 'none', unpublishedPlans: 0, attempt: { number: 1, of: 1 } },
    },
  }
}

function resultOf(inputs: Result['inputs'], registration: Registration): Result {
  const plan = {
    ...{ id: PLAN_ID, product: 'air filter', registration, level: 0.025, attempt: { number: 1, of: 1 }, rules: [] },
    sentence: 'Everything went as planned.',
  }
  return { ...result, inputs, plan }
}

async function filesOf(log: MerkleLog): Promise<PlannedSummary['files']> {
  return {
    checkpoint: new TextEncoder().encode(await log.checkpoint()),
    read: async (path) => {
      const tile = readTilePath(path)
      return tile === undefined ? undefined : log.tile(tile)
    },
  }
}

/** The log of a summary as somebody sees it who trusts its key, or trusts no log. */
export async function viewOf({ files, logKey }: PlannedSummary, isTrusted = true): Promise<LogView> {
  const verifier = await readVerifierKey(await verifierKeyText(PLAN_LOG_ORIGIN, logKey))
  if (!verifier.ok) throw new Error(verifier.problem.detail)
  const view = await openLogView(files, isTrusted ? [verifier.value] : [])
  if (!view.ok) throw new Error(view.problem.detail)
  return view.value
}
