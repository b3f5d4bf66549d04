/** The record through the client: publication, withdrawal, trust list, log, one run. */
import { beforeEach, describe, expect, test } from 'vitest'
import { type Fairpull, isApiError } from '../../packages/sdk/src/client/index.ts'
import { leafHash, summaryLogEntry, verifySummary } from '../../packages/sdk/src/integrity/index.ts'
import { createFakeService, type FakeService, twoFigures } from '../../packages/sdk/src/testing/index.ts'
import { runCheckExamples } from '../../packages/service/src/http/examples.ts'
import { failureOf } from './clients.ts'

let fake: FakeService
let fairpull: Fairpull

beforeEach(async () => {
  fake = await createFakeService()
  fairpull = fake.client()
})

const issued = () => fairpull.assessments.create(twoFigures)

describe('a summary', () => {
  test('is private until it is published, and then read by anybody, verified, with its status', async () => {
    const { id, summary } = await issued()
    const reader = fake.client({ apiKey: undefined as never })
    expect(await failureOf(reader.summaries.get(id))).toMatchObject({ status: 404 })
    expect(await fairpull.summaries.publish(id)).toMatchObject({ id, status: 'published', withRuns: false })
    const read = await reader.summaries.get(id)
    expect(read).toMatchObject({ id, summary, status: { status: 'published', withdrawal: null } })
    expect(read.report).toMatchObject({ verdict: 'verified', logged: { status: 'proven' } })
    expect(await failureOf(reader.summaries.runs(id))).toMatchObject({ status: 404 })
    await fairpull.summaries.publish(id, { runs: true })
    expect((await reader.summaries.runs(id)).runs).toEqual(twoFigures.runs)
  })

  test('that was withdrawn is refused with the reason, and its status shows the notice, verified', async () => {
    const { id } = await issued()
    await fairpull.summaries.publish(id)
    const notice = await fairpull.summaries.withdraw(id, 'a torn hose')
    expect(notice).toMatchObject({ id, reason: 'a torn hose' })
    const refused = await failureOf(fairpull.summaries.get(id))
    expect(isApiError(refused) && refused.code).toBe('ERR_WITHDRAWN')
    expect((await fairpull.summaries.status(id)).withdrawal).toEqual(notice)
    const again = await fairpull.assessments.create(twoFigures, { supersedes: id })
    expect(again.payload.issue.supersedes).toBe(id)
  })

  test('whose notice is of another summary, or by nobody who is trusted, is not said to be withdrawn', async () => {
    const [one, other] = [await issued(), await issued()]
    await fairpull.summaries.publish(one.id)
    const { notice } = await fairpull.summaries.withdraw(other.id, 'mistaken')
    await fairpull.summaries.withdraw(one.id, 'a torn hose')
    const lying = (text: string) =>
      fake.client({
        fetch: async (input, init) => {
          const response = await fake.fetch(input, init)
          const status = await response.json()
          const forged = { ...status, withdrawal: { ...status.withdrawal, notice: text } }
          return Response.json(forged, { headers: response.headers })
        },
      })
    for (const text of [notice, 'x', `${notice.slice(0, -4)}AAAA`]) {
      expect(await failureOf(lying(text).summaries.status(one.id))).toMatchObject({ name: 'UnexpectedAnswerError' })
    }
    const stranger = fake.client({ trust: { keys: [] } })
    expect(await failureOf(stranger.summaries.status(one.id))).toMatchObject({ name: 'UnexpectedAnswerError' })
    const without = fake.client({ trust: undefined as never })
    expect((await without.summaries.status(one.id)).withdrawal?.reason).toBe('a torn hose')
  })
})

describe('the trust list', () => {
  test('is read under the root key, and its mark refuses another of the same version', async () => {
    const first = await fairpull.trustLists.get({ root: fake.rootKey, now: '2026-06-01T00:00:00Z' })
    expect(first.seen.version).toBe(1)
    const { summary, log } = await issued()
    expect((await verifySummary(summary, { trust: first.trust, log })).verdict).toBe('verified')

    const known = { root: fake.rootKey, now: '2026-06-01T00:00:00Z' }
    expect((await fairpull.trustLists.get({ ...known, seen: first.seen })).seen).toEqual(first.seen)
    const newer = await failureOf(fairpull.trustLists.get({ ...known, seen: { version: 2, digest: '' } }))
    expect(newer.message).toContain('ERR_TRUST_LIST_OLDER')
    const other = await failureOf(fairpull.trustLists.get({ ...known, seen: { version: 1, digest: '' } }))
    expect(other.message).toContain('ERR_TRUST_LIST_OTHER')
    const expired = await failureOf(fairpull.trustLists.get({ ...known, now: '2036-01-01T00:00:00Z' }))
    expect(expired.message).toContain('ERR_TRUST_LIST_EXPIRED')
    const [key] = fake.trust.keys
    if (key === undefined) throw new Error('no key')
    const wrong = await failureOf(fairpull.trustLists.get({ ...known, root: key.jwk }))
    expect(wrong.message).toContain('ERR_TRUST_LIST_SIGNATURE')
  })
})

describe('the log', () => {
  test('shows a summary at its place, and goes on where it was', async () => {
    const one = await issued()
    const before = await fairpull.log.view()
    const two = await issued()
    const view = await fairpull.log.view()
    expect(view.isTrusted).toBe(true)
    expect(await view.indexOf(await leafHash(await summaryLogEntry(two.summary)))).toBe(two.log?.index)
    expect(await view.rootOf(before.checkpoint.size)).toEqual(before.checkpoint.root)
    expect(await before.leafAt(two.log?.index ?? -1)).toBeUndefined()
    const report = await verifySummary(one.summary, { keys: [], view })
    expect(report.failure?.code).toBe('ERR_SIGNATURE_NO_KEY')
  })

  test('signed by another key than the trusted one is an unexpected answer', async () => {
    await issued()
    const altering = fake.client({
      fetch: async (input, init) => {
        const text = await (await fake.fetch(input, init)).text()
        return new Response(text.replace('\n1\n', '\n2\n'))
      },
    })
    expect((await failureOf(altering.log.view())).message).toContain('ERR_LOG_CHECKPOINT')
  })
})

test('one run is checked by itself', async () => {
  const report = await fairpull.runChecks.create(runCheckExamples.coarseRun)
  expect(report.run).toBe(runCheckExamples.coarseRun.run.id)
  expect(report.findings.length).toBeGreaterThan(0)
})
