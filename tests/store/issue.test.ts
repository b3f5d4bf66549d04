/** One request, one effect: issuing under an Idempotency-Key, and reading back. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { IssueOutcome, Store } from '../../packages/service/src/ports.ts'
import { uuidIds } from '../../packages/service/src/store/ids.ts'
import { openStore } from '../../packages/service/src/store/store.ts'
import { type DataFolder, temporaryDataFolder } from '../faults/support/data-folder.ts'
import { bytesOf, digestOf, issuanceOf, NOW } from '../faults/support/issuance.ts'

let folder: DataFolder
let store: Store

beforeAll(async () => {
  folder = await temporaryDataFolder()
  store = await openStore({ dataFolder: folder.path, notify: () => undefined, onLost: () => undefined })
})

afterAll(async () => {
  await store?.close()
  await folder.remove()
})

const DAY_MS = 86_400_000

/** The identity that an outcome tells the client. */
function locationOf(outcome: IssueOutcome): string | undefined {
  return outcome.outcome === 'conflict' ? undefined : outcome.response.headers.location
}

const count = async (tenant: string) => (await store.assessments.list(tenant, { limit: 200 })).length

describe('an Idempotency-Key', () => {
  test('50 equal requests at once: one effect, and all get the same answer byte for byte', async () => {
    const tenant = uuidIds.next()
    const outcomes = await Promise.all(Array.from({ length: 50 }, () => store.issue(issuanceOf({ tenant }))))
    expect(outcomes.filter(({ outcome }) => outcome === 'issued')).toHaveLength(1)
    expect(outcomes.filter(({ outcome }) => outcome === 'replayed')).toHaveLength(49)
    expect(new Set(outcomes.map(locationOf)).size).toBe(1)
    const bodies = outcomes.map((each) =>
      each.outcome === 'conflict' ? '' : Buffer.from(each.response.body).toString('hex'),
    )
    expect(new Set(bodies).size).toBe(1)
    expect(await count(tenant)).toBe(1)
  })

  test('50 requests at once with different bodies: one effect, and only its equals are answered', async () => {
    const tenant = uuidIds.next()
    const requests = Array.from({ length: 50 }, (_, index) => `request-${index % 5}`)
    const outcomes = await Promise.all(requests.map((request) => store.issue(issuanceOf({ tenant, request }))))
    const winner = requests[outcomes.findIndex(({ outcome }) => outcome === 'issued')]
    outcomes.forEach(({ outcome }, index) => {
      expect(outcome === 'conflict').toBe(requests[index] !== winner)
    })
    expect(await count(tenant)).toBe(1)
  })

  test('used again with another body it is a conflict, and nothing is stored, runs included', async () => {
    const tenant = uuidIds.next()
    await store.issue(issuanceOf({ tenant, request: 'one' }))
    const other = issuanceOf({ tenant, request: 'two' })
    expect(await store.issue(other)).toEqual({ outcome: 'conflict' })
    expect(await store.assessments.find(tenant, other.assessment.id)).toBeUndefined()
    expect(await store.runs.find(tenant, digestOf('run of two'))).toBeUndefined()
    expect(await count(tenant)).toBe(1)
  })

  test('belongs to its tenant: the same key of another one is another key', async () => {
    const [one, other] = [uuidIds.next(), uuidIds.next()]
    expect((await store.issue(issuanceOf({ tenant: one, request: 'one' }))).outcome).toBe('issued')
    expect((await store.issue(issuanceOf({ tenant: other, request: 'two' }))).outcome).toBe('issued')
  })

  test('requests without a key take effect each time', async () => {
    const tenant = uuidIds.next()
    for (let turn = 0; turn < 3; turn += 1) {
      expect((await store.issue(issuanceOf({ tenant, key: null }))).outcome).toBe('issued')
    }
    expect(await count(tenant)).toBe(3)
  })

  test('the same issuance sent again, as after a lost answer, changes nothing: with a key, and without one', async () => {
    const tenant = uuidIds.next()
    for (const key of ['key', null]) {
      const issuance = issuanceOf({ tenant, key })
      const [first, again] = [await store.issue(issuance), await store.issue(issuance)]
      expect(locationOf(again)).toBe(locationOf(first))
    }
    expect(await count(tenant)).toBe(2)
  })

  test('is replayed until it expires and is free from that moment on', async () => {
    const tenant = uuidIds.next()
    const expiresAt = new Date(NOW.getTime() + DAY_MS)
    const first = await store.issue(issuanceOf({ tenant, expiresAt }))
    const lastMoment = new Date(expiresAt.getTime() - 1)
    const late = await store.issue(
      issuanceOf({ tenant, at: lastMoment, expiresAt: new Date(NOW.getTime() + 9 * DAY_MS) }),
    )
    expect([late.outcome, locationOf(late)]).toEqual(['replayed', locationOf(first)])
    const after = await store.issue(issuanceOf({ tenant, at: expiresAt, request: 'another' }))
    expect(after.outcome).toBe('issued')
    expect(await count(tenant)).toBe(2)
  })

  test('can be looked up before the work is done', async () => {
    const tenant = uuidIds.next()
    const { idempotency: claim, response } = issuanceOf({ tenant })
    if (claim === null) throw new Error('the issuance has a key')
    expect(await store.idempotency.find(tenant, claim, NOW)).toEqual({ outcome: 'unused' })
    const issued = await store.issue(issuanceOf({ tenant }))
    const found = await store.idempotency.find(tenant, claim, NOW)
    expect(found.outcome).toBe('replayed')
    expect(found.outcome === 'replayed' && found.response.headers.location).toBe(locationOf(issued))
    expect(found.outcome === 'replayed' && found.response.status).toBe(response.status)
    const otherBody = { ...claim, requestDigest: digestOf('another') }
    expect(await store.idempotency.find(tenant, otherBody, NOW)).toEqual({ outcome: 'conflict' })
    expect(await store.idempotency.find(tenant, claim, claim.expiresAt)).toEqual({ outcome: 'unused' })
  })

  test('expired records are purged in portions, also by two at once, and others stay', async () => {
    const tenant = uuidIds.next()
    const early = new Date(0)
    for (let number = 0; number < 7; number += 1) {
      await store.issue(issuanceOf({ tenant, key: `old-${number}`, expiresAt: early, at: new Date(-1) }))
    }
    const { idempotency: kept } = issuanceOf({ tenant, key: 'kept' })
    await store.issue(issuanceOf({ tenant, key: 'kept' }))
    expect(await store.idempotency.purge(new Date(-1), 100)).toBe(0)
    expect(await store.idempotency.purge(early, 2)).toBe(2)
    const both = await Promise.all([store.idempotency.purge(early, 100), store.idempotency.purge(early, 100)])
    expect(both[0] + both[1]).toBe(5)
    expect(kept && (await store.idempotency.find(tenant, kept, NOW)).outcome).toBe('replayed')
  })
})

describe('what was issued', () => {
  test('reads back byte for byte', async () => {
    const tenant = uuidIds.next()
    const issuance = issuanceOf({ tenant })
    await store.issue(issuance)
    const stored = await store.assessments.find(tenant, issuance.assessment.id)
    const { jws, payload, comparison, comparisonDigest, createdAt, id } = issuance.assessment
    expect(stored?.jws).toBe(jws)
    expect(Buffer.from(stored?.payload ?? [])).toEqual(Buffer.from(payload))
    expect(Buffer.from(stored?.comparison ?? [])).toEqual(Buffer.from(comparison))
    expect(Buffer.from(stored?.comparisonDigest ?? [])).toEqual(Buffer.from(comparisonDigest))
    expect([stored?.createdAt, stored?.id, stored?.tenant, stored?.status]).toEqual([createdAt, id, tenant, 'private'])
    for (const run of issuance.runs) {
      expect(Buffer.from((await store.runs.find(tenant, run.digest)) ?? [])).toEqual(Buffer.from(run.bytes))
    }
  })

  test('comparisons that share runs in any order, many at once, keep each run once and do not lock each other out', async () => {
    const tenant = uuidIds.next()
    const names = Array.from({ length: 12 }, (_, index) => `shared-${index}`)
    const orders = Array.from({ length: 24 }, (_, shift) => [...names.slice(shift % 12), ...names.slice(0, shift % 12)])
    const outcomes = await Promise.all(
      orders.map((runs, index) =>
        store.issue(issuanceOf({ tenant, key: `key-${index}`, request: `r-${index}`, runs })),
      ),
    )
    expect(outcomes.every(({ outcome }) => outcome === 'issued')).toBe(true)
    for (const name of names) {
      expect(Buffer.from((await store.runs.find(tenant, digestOf(name))) ?? [])).toEqual(Buffer.from(bytesOf(name)))
    }
  })

  test('a comparison of reported figures has no runs', async () => {
    const tenant = uuidIds.next()
    expect((await store.issue(issuanceOf({ tenant, runs: [] }))).outcome).toBe('issued')
  })

  test('is not found by another tenant, just like something that never was', async () => {
    const [tenant, other] = [uuidIds.next(), uuidIds.next()]
    const issuance = issuanceOf({ tenant })
    await store.issue(issuance)
    expect(await store.assessments.find(other, issuance.assessment.id)).toBeUndefined()
    expect(await store.assessments.find(tenant, uuidIds.next())).toBeUndefined()
    expect(await store.runs.find(other, digestOf('run of request-1'))).toBeUndefined()
    expect(await store.assessments.list(other, { limit: 10 })).toEqual([])
  })

  test('is listed newest first, page by page, without gaps while more is added', async () => {
    const tenant = uuidIds.next()
    const ids = Array.from({ length: 7 }, () => uuidIds.next())
    for (const id of ids) await store.issue(issuanceOf({ tenant, id, key: id }))
    const first = await store.assessments.list(tenant, { limit: 3 })
    await store.issue(issuanceOf({ tenant, key: 'newer' }))
    const before = first.at(-1)?.id ?? ''
    const rest = await store.assessments.list(tenant, { limit: 200, before })
    expect([...first, ...rest].map(({ id }) => id)).toEqual(ids.reverse())
    expect(await store.assessments.list(tenant, { limit: 200, before: rest.at(-1)?.id ?? '' })).toEqual([])
  })

  test.each([
    [0, 1],
    [1, 1],
    [200, 200],
    [201, 200],
  ])('a page of %i holds at most %i', async (limit, most) => {
    const tenant = await tenantWithMany()
    expect(await store.assessments.list(tenant, { limit })).toHaveLength(most)
  })
})

let many: string | undefined

async function tenantWithMany(): Promise<string> {
  if (many !== undefined) return many
  const tenant = uuidIds.next()
  const numbers = Array.from({ length: 205 }, (_, number) => number)
  await Promise.all(numbers.map((number) => store.issue(issuanceOf({ tenant, key: `many-${number}`, runs: [] }))))
  many = tenant
  return tenant
}
