/** Receipts and plan of a registered summary: every way in which they can be other than they should has its own code. */
import { beforeAll, describe, expect, test } from 'vitest'
import type { RunReceipt } from '../../packages/sdk/src/contract/index.ts'
import {
  importSigningKey,
  LogViewError,
  openLogView,
  type SigningKey,
  signSummary,
  type Trust,
  verifySummary,
} from '../../packages/sdk/src/integrity/index.ts'
import { createKeyText } from '../../packages/service/src/signing/key-file.ts'
import { createMemoryLog, createMemoryLogStorage } from '../support/memory-log.ts'
import {
  PLAN_LOG_ORIGIN,
  type PlannedChange,
  type PlannedSummary,
  plannedSummary,
  viewOf,
} from './support/planned-summary.ts'
import { knownPublicKey, knownSigningKey, otherSigningKey, trustInKnownKey } from './support/summary-fixture.ts'

const key = await knownSigningKey()
const other = await otherSigningKey()
const trust = await trustInKnownKey()
let logKey: SigningKey

beforeAll(async () => {
  const imported = await importSigningKey(JSON.parse(await createKeyText()))
  if (!imported.ok) throw new Error(imported.problem.detail)
  logKey = imported.value
})

const planned = (change: PlannedChange = {}) => plannedSummary(key, logKey, change)

const verified = async (made: PlannedSummary, known: Trust = trust) =>
  verifySummary(made.summary, { trust: known, comparison: made.comparison, view: await viewOf(made) })

describe('a summary under a plan', () => {
  test('with comparison and log: the plan came first', async () => {
    const made = await planned()
    const report = await verified(made)
    expect(report).toMatchObject({
      verdict: 'verified',
      logged: { status: 'proven', index: 6 },
      registration: { stated: 'pre-registered', planFirst: 'yes' },
      recomputed: { answer: 'inputs-match' },
    })
    expect(report.steps[6]).toMatchObject({ step: 'registration', outcome: 'passed' })
    expect(report.steps[6]?.sentence).toContain('as entry 1')
  })

  test('changed after its first run: the plan did not come first, in the words of the issuer', async () => {
    const report = await verified(await planned({ isAmended: true }))
    expect(report).toMatchObject({ verdict: 'verified', registration: { stated: 'amended', planFirst: 'no' } })
  })

  test('without the comparison, without the log, with an unknown log, or with a key that is not at hand: not checkable', async () => {
    const made = await planned()
    const { summary, comparison } = made
    const view = await viewOf(made)
    const byOther = await planned({ receiptKey: other })
    const reports = [
      await verifySummary(summary, { trust, view }),
      await verifySummary(summary, { trust, comparison }),
      await verifySummary(summary, { trust, comparison: { ...comparison, runs: [] }, view }),
      await verifySummary(summary, { trust, comparison, view: await viewOf(made, false) }),
      await verified(byOther),
      await verifySummary(byOther.summary, { keys: [await knownPublicKey()] }),
    ]
    for (const report of reports) {
      expect(report.failure).toBeNull()
      expect(report.registration.planFirst).toBe('not-checkable')
      expect(report.steps[6]).toMatchObject({ step: 'registration', outcome: 'not-checked' })
    }
    expect(new Set(reports.map(({ steps }) => steps[6]?.sentence)).size).toBe(4)
  })

  test('with a log that ends before: not checkable', async () => {
    const made = await planned()
    const short = createMemoryLog(createMemoryLogStorage(PLAN_LOG_ORIGIN), logKey)
    await short.append([Uint8Array.of(0)])
    const view = await openLogView({ ...made.files, checkpoint: Buffer.from(await short.checkpoint()) }, [])
    if (!view.ok) throw new Error(view.problem.detail)
    const report = await verifySummary(made.summary, {
      trust,
      comparison: made.comparison,
      view: view.value,
      log: await made.log.receipt(6),
    })
    expect(report.registration.planFirst).toBe('not-checkable')
    expect(report.steps[6]?.sentence).toContain('ends before entry')
  })
})

describe('receipts', () => {
  const changed = (at: number, change: Partial<RunReceipt>): PlannedChange => ({
    receipts: (all) => all.map((each, index) => (index === at ? { ...each, ...change } : each)),
  })
  const cut = (text: string) => `${text.slice(0, -3)}AAA`
  const cases: Readonly<Record<string, readonly [PlannedChange, code: string, pointer: string]>> = {
    'the first one dropped': [{ signed: (all) => all.slice(1) }, 'ERR_RECEIPT_NUMBER', '/issue/receipts/0'],
    'one in the middle dropped': [
      { signed: ([a, , c]) => [a ?? '', c ?? ''] },
      'ERR_RECEIPT_NUMBER',
      '/issue/receipts/1',
    ],
    'the last one dropped': [{ signed: (all) => all.slice(0, -1) }, 'ERR_RECEIPT_RUN', '/issue/receipts'],
    'all dropped': [{ signed: () => [] }, 'ERR_REGISTRATION_CONTRADICTED', '/issue/registration'],
    reordered: [{ signed: ([a, b, c]) => [a ?? '', c ?? '', b ?? ''] }, 'ERR_RECEIPT_NUMBER', '/issue/receipts/1'],
    'one twice': [{ signed: ([a, b]) => [a ?? '', b ?? '', b ?? ''] }, 'ERR_RECEIPT_NUMBER', '/issue/receipts/2'],
    'one more than runs': [
      { receipts: (all) => [...all, { ...(all[2] as RunReceipt), number: 4, logIndex: 5 }] },
      'ERR_RECEIPT_RUN',
      '/issue/receipts/3',
    ],
    'of another plan': [changed(1, { plan: 'another' }), 'ERR_RECEIPT_PLAN', '/issue/receipts/1'],
    'of another issuer': [changed(1, { issuer: 'other.example' }), 'ERR_RECEIPT_ISSUER', '/issue/receipts/1'],
    'numbered from 0': [
      { receipts: (all) => all.map((each) => ({ ...each, number: each.number - 1 })) },
      'ERR_RECEIPT_NUMBER',
      '/issue/receipts/0',
    ],
    'later than the summary': [
      changed(2, { receivedAt: '2026-03-01T10:00:00.000000001Z' }),
      'ERR_RECEIPT_TIME',
      '/issue/receipts/2',
    ],
    'with another digest': [changed(0, { digest: `sha256:${'0'.repeat(64)}` }), 'ERR_RECEIPT_RUN', '/issue/receipts/0'],
    'with the digests of two runs swapped': [
      { receipts: ([a, b, c]) => [a, { ...b, digest: c?.digest }, { ...c, digest: b?.digest }] as RunReceipt[] },
      'ERR_RECEIPT_RUN',
      '/issue/receipts/1',
    ],
    'with another run': [changed(1, { run: 'm9' }), 'ERR_RECEIPT_RUN', '/issue/receipts/1'],
    'two with one place in the log': [changed(2, { logIndex: 2 }), 'ERR_RECEIPT_INDEX', '/issue/receipts/2'],
    'with a place after the summary': [changed(2, { logIndex: 6 }), 'ERR_RECEIPT_INDEX', '/issue/receipts/2'],
    'with a place that holds something else': [changed(0, { logIndex: 0 }), 'ERR_RECEIPT_ENTRY', '/issue/receipts/0'],
    'with another mounting': [changed(0, { mounting: 'sha256:1' }), 'ERR_RECEIPT_ENTRY', '/issue/receipts/0'],
    'with a bent signature': [{ signed: (all) => all.map(cut) }, 'ERR_RECEIPT_SIGNATURE', '/issue/receipts/0'],
    'that are no JWS': [{ signed: (all) => all.map(() => 'x') }, 'ERR_RECEIPT_FORM', '/issue/receipts/0'],
    'without a time': [changed(1, { receivedAt: 'noon' }), 'ERR_RECEIPT_FORM', '/issue/receipts/1'],
    'without a number': [changed(1, { number: 1.5 }), 'ERR_RECEIPT_FORM', '/issue/receipts/1'],
  }
  for (const [says, [change, code, pointer]] of Object.entries(cases)) {
    test(`${says}: ${code}`, async () => {
      const report = await verified(await planned(change))
      expect(report.failure).toMatchObject({ code, pointer, step: 'registration' })
      expect(report).toMatchObject({ verdict: 'refused', payload: null, registration: { planFirst: 'not-reached' } })
    })
  }

  test('that are a summary: ERR_RECEIPT_FORM, so that neither can stand for the other', async () => {
    const summary = await signSummary((await planned()).payload, key)
    const report = await verified(await planned({ signed: () => [summary] }))
    expect(report.failure?.code).toBe('ERR_RECEIPT_FORM')
  })

  test('by a key that may not have signed them: ERR_RECEIPT_KEY; by one in its last hour: verified', async () => {
    const made = await planned({ receiptKey: other })
    const [known] = (await trustInKnownKey()).keys.values()
    const [second] = (await trustInKnownKey({ jwk: other.jwk, notAfter: '2026-03-01T09:32:00Z' })).keys.values()
    if (known === undefined || second === undefined) throw new Error('no keys')
    const withSecond = (change: Partial<typeof second>): Trust => ({
      ...trust,
      keys: new Map([known, { ...second, ...change }].map((each) => [each.key.kid, each])),
    })
    expect((await verified(made, withSecond({}))).verdict).toBe('verified')
    const refusals = [
      { issuer: 'other.example' },
      { notAfter: '2026-03-01T09:31:59.000000000' },
      { notBefore: '2026-03-01T10:00:00.000000001' },
    ]
    for (const change of refusals) {
      const report = await verified(made, withSecond(change))
      expect(report.failure?.code, JSON.stringify(change)).toBe('ERR_RECEIPT_KEY')
    }
  })
})

describe('a registration', () => {
  const cases: Readonly<Record<string, readonly [PlannedChange, code: string]>> = {
    'stated without a plan in the result': [
      { result: ({ plan: _, ...rest }) => rest },
      'ERR_REGISTRATION_CONTRADICTED',
    ],
    'stated otherwise than in the result': [{ issue: { registration: 'amended' } }, 'ERR_REGISTRATION_CONTRADICTED'],
    'not stated, with a plan in the result that is': [
      { issue: { registration: 'none', receipts: [] } },
      'ERR_REGISTRATION_CONTRADICTED',
    ],
    'with a plan that was logged after the first run': [{ logged: '1p23' }, 'ERR_PLAN_ORDER'],
    'with a plan that was logged after all runs': [{ logged: '123p' }, 'ERR_PLAN_ORDER'],
    'with other terms than were logged': [{ terms: { product: 'another' } }, 'ERR_PLAN_ENTRY'],
    'with a plan that was never logged': [{ logged: 'x123' }, 'ERR_PLAN_ENTRY'],
  }
  for (const [says, [change, code]] of Object.entries(cases)) {
    test(`${says}: ${code}`, async () => {
      expect((await verified(await planned(change))).failure).toMatchObject({ code, pointer: '/issue/registration' })
    })
  }
})

describe('a view of the log', () => {
  test('finds a summary without its receipt, and says where it does not hold one', async () => {
    const made = await planned()
    const elsewhere = await planned({ logged: 'p123xxxxxx' })
    const [view, otherView] = [await viewOf(made), await viewOf(elsewhere)]
    expect((await verifySummary(made.summary, { trust, view })).logged).toEqual({ status: 'proven', index: 6 })
    expect(await verifySummary(made.summary, { trust, view: otherView })).toMatchObject({
      verdict: 'verified',
      logged: { status: 'not-in-log', index: null },
    })
  })

  test('of another history than the receipt: ERR_LOG_FORK', async () => {
    const made = await planned()
    const forked = await planned({ logged: 'xxxp123xxx' })
    const log = await made.log.receipt(6)
    expect(await verifySummary(made.summary, { trust, log, view: await viewOf(made) })).toMatchObject({ failure: null })
    expect(await verifySummary(made.summary, { trust, log, view: await viewOf(forked) })).toMatchObject({
      failure: { code: 'ERR_LOG_FORK', step: 'log' },
      logged: { status: 'refused' },
    })
  })

  test('with tiles that do not lead to its root, or are missing, throws: nothing follows from it', async () => {
    const made = await planned()
    for (const read of [async () => undefined, async () => new Uint8Array(7 * 32)]) {
      const files = { checkpoint: made.files.checkpoint, read }
      const view = await openLogView(files, [])
      if (!view.ok) throw new Error(view.problem.detail)
      await expect(view.value.leafAt(0)).rejects.toThrow(LogViewError)
      await expect(view.value.rootOf(3)).rejects.toThrow(LogViewError)
      await expect(view.value.indexOf(new Uint8Array(32))).rejects.toThrow(LogViewError)
      expect(await view.value.leafAt(7)).toBeUndefined()
      expect(await view.value.rootOf(8)).toBeUndefined()
    }
    expect(await openLogView({ ...made.files, checkpoint: Buffer.from('x') }, [])).toMatchObject({
      problem: { code: 'ERR_LOG_CHECKPOINT' },
    })
  })
})
