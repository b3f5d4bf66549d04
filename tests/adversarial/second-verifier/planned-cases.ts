/** Cases of summaries under a plan: sound ones with more or less at hand, and each departure from the rules of receipts. */
import type { RunReceipt } from '../../../packages/sdk/src/contract/index.ts'
import {
  importSigningKey,
  type SigningKey,
  type TrustBundle,
  tilePath,
  tilesOf,
  verifierKeyText,
} from '../../../packages/sdk/src/integrity/index.ts'
import { createKeyText } from '../../../packages/service/src/signing/key-file.ts'
import { PLAN_LOG_ORIGIN, type PlannedChange, type PlannedSummary, plannedSummary } from '../support/planned-summary.ts'
import { otherSigningKey } from '../support/summary-fixture.ts'
import type { VerificationCase } from './corpus.ts'

/** Every case, under the trust of the corpus. */
export async function plannedCases(key: SigningKey, trust: TrustBundle): Promise<readonly VerificationCase[]> {
  const imported = await importSigningKey(JSON.parse(await createKeyText()))
  if (!imported.ok) throw new Error(imported.problem.detail)
  const logKey = imported.value
  const other = await otherSigningKey()
  const logs = [await verifierKeyText(PLAN_LOG_ORIGIN, logKey)]
  const make = async (
    name: string,
    change: PlannedChange = {},
    given: Partial<VerificationCase> = {},
  ): Promise<VerificationCase> => {
    const made = await plannedSummary(key, logKey, change)
    const { summary, comparison } = made
    const files = await filesOf(made)
    return {
      ...{ kind: 'summary', name: `plan: ${name}`, summary, comparison, files, trust: { ...trust, logs }, keys: [] },
      ...given,
    }
  }
  const cases = [await make('sound'), await make('amended', { isAmended: true })]
  for (const [name, given] of Object.entries(atHand(trust, other))) cases.push(await make(name, {}, given))
  for (const [name, change] of Object.entries(departures(other))) cases.push(await make(name, change))
  const [entry] = trust.keys
  const second = { jwk: other.jwk, issuer: entry?.issuer ?? '', notBefore: '2026-01-01T00:00:00Z' }
  const trusting = (change: object) => ({ trust: { keys: [...trust.keys, { ...second, ...change }], logs } })
  const byOther = { receiptKey: other }
  return [
    ...cases,
    await make('receipts by a second key', byOther, trusting({})),
    await make('receipts by a key of another issuer', byOther, trusting({ issuer: 'other.example' })),
    await make('receipts by a key past its time', byOther, trusting({ notAfter: '2026-03-01T09:31:00Z' })),
    await make('receipts by a key before its time', byOther, trusting({ notBefore: '2026-03-01T10:00:01Z' })),
    await make('receipts by a key that came along only', byOther, { keys: [other.jwk] }),
    await make('no trust, both keys came along', byOther, { trust: null, keys: [key.jwk, other.jwk] }),
    withoutTiles(await make('the tiles are missing')),
    await forked(
      await make('a forked log'),
      await plannedSummary(key, logKey, { logged: 'xxp123xxxx' }),
      await plannedSummary(key, logKey),
    ),
  ]
}

async function filesOf({ log, files }: PlannedSummary): Promise<NonNullable<VerificationCase['files']>> {
  const checkpoint = new TextDecoder().decode(files.checkpoint)
  const tiles: Record<string, string> = {}
  for (const tile of tilesOf(Number(checkpoint.split('\n')[1]))) {
    tiles[tilePath(tile)] = Buffer.from((await log.tile(tile)) ?? []).toString('base64')
  }
  return { checkpoint, tiles }
}

function withoutTiles(sound: VerificationCase): VerificationCase {
  return { ...sound, files: { checkpoint: sound.files?.checkpoint ?? '', tiles: {} } }
}

/** The summary with its receipt from one log, beside the files of another under the same name. */
async function forked(sound: VerificationCase, other: PlannedSummary, own: PlannedSummary): Promise<VerificationCase> {
  return { ...sound, log: await own.log.receipt(6), files: await filesOf(other) }
}

function atHand(trust: TrustBundle, other: SigningKey): Readonly<Record<string, Partial<VerificationCase>>> {
  const absent = undefined as never
  return {
    'no comparison': { comparison: absent },
    'another comparison': { comparison: { protocol: 'motorcycle-rollers@1', runs: [] } },
    'no log': { files: absent },
    'no log is trusted': { trust },
    'no trust': { trust: null, keys: [trust.keys[0]?.jwk ?? other.jwk] },
    'the checkpoint is none': { files: { checkpoint: '', tiles: {} } },
  }
}

function departures(other: SigningKey): Readonly<Record<string, PlannedChange>> {
  const changed = (at: number, change: Partial<RunReceipt>): PlannedChange => ({
    receipts: (all) => all.map((each, index) => (index === at ? { ...each, ...change } : each)),
  })
  return {
    'first receipt dropped': { signed: (all) => all.slice(1) },
    'last receipt dropped': { signed: (all) => all.slice(0, -1) },
    'all receipts dropped': { signed: () => [] },
    'receipts reordered': { signed: (all) => [...all].reverse() },
    'receipt of another plan': changed(1, { plan: 'another' }),
    'receipt of another issuer': changed(1, { issuer: 'other.example' }),
    'receipt after the summary': changed(2, { receivedAt: '2026-03-01T10:00:00.1Z' }),
    'receipt at the moment of the summary': changed(2, { receivedAt: '2026-03-01T10:00:00Z' }),
    'receipt with another digest': changed(0, { digest: 'sha256:0' }),
    'receipts with one place': changed(2, { logIndex: 2 }),
    'receipt with a place after the summary': changed(2, { logIndex: 9 }),
    'receipt with a place of somebody else': changed(0, { logIndex: 0 }),
    'receipt with another mounting': changed(0, { mounting: 'sha256:1' }),
    'receipt without a time': changed(0, { receivedAt: '' }),
    'receipt with half a number': changed(0, { number: 0.5 }),
    'receipt without an end to its mounting': changed(0, { mounting: 7 as never }),
    'receipts that are none': { signed: (all) => all.map(() => 'x') },
    'receipts with a bent signature': { signed: (all) => all.map((each) => `${each.slice(0, -4)}AAAA`) },
    'receipts by a key nobody knows': { receiptKey: other },
    'no plan in the result': { result: ({ plan: _, ...rest }) => rest },
    'another registration in the result': { issue: { registration: 'amended' } },
    'no registration, and one in the result': { issue: { registration: 'none', receipts: [] } },
    'plan after the first run': { logged: '1p23' },
    'other terms than were logged': { terms: { product: 'another' } },
  }
}
