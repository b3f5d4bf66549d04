/** Studies on PostgreSQL: once per key, each tenant's own, with an audit entry. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { PlanStore } from '../../packages/service/src/plan-ports.ts'
import { type Database, openDatabase } from '../../packages/service/src/store/database.ts'
import { type EmbeddedPostgres, startEmbeddedPostgres } from '../../packages/service/src/store/embedded-postgres.ts'
import { uuidIds } from '../../packages/service/src/store/ids.ts'
import { migrate } from '../../packages/service/src/store/migrations.ts'
import { createStore } from '../../packages/service/src/store/store.ts'
import { type DataFolder, temporaryDataFolder } from '../faults/support/data-folder.ts'
import { bytesOf, NOW } from '../faults/support/issuance.ts'

let folder: DataFolder
let database: EmbeddedPostgres
let db: Database
let store: PlanStore

beforeAll(async () => {
  folder = await temporaryDataFolder()
  database = await startEmbeddedPostgres({ dataFolder: folder.path, notify: () => undefined, onLost: () => undefined })
  db = openDatabase(database.connection, () => undefined)
  store = createStore(db, async () => undefined)
  await migrate(db, NOW)
})

afterAll(async () => {
  await store?.close()
  await database?.stop()
  await folder.remove()
})

async function stored(tenant: string, changed: { readonly facility?: string; readonly key?: string } = {}) {
  const { facility = 'cell 1', key } = changed
  const id = uuidIds.next()
  const requestDigest = new Uint8Array(32).fill(7)
  const expiresAt = new Date(NOW.getTime() + 60_000)
  const outcome = await store.studies.register({
    tenant,
    idempotency: key === undefined ? null : { key, requestDigest, expiresAt },
    study: { id, createdAt: NOW, facility, study: bytesOf('the study'), result: bytesOf(`result of ${id}`) },
    response: { status: 201, headers: {}, body: bytesOf(`answer ${id}`) },
  })
  return { id, outcome }
}

describe('a study', () => {
  test('is found as it was stored, by its own tenant', async () => {
    const tenant = uuidIds.next()
    const { id } = await stored(tenant)
    const found = await store.studies.find(tenant, id)
    expect(found).toMatchObject({ tenant, id, facility: 'cell 1', createdAt: NOW })
    expect(Buffer.compare(Buffer.from(found?.result ?? []), bytesOf(`result of ${id}`))).toBe(0)
    expect(await store.studies.find(uuidIds.next(), id)).toBeUndefined()
  })

  test('is stored once per key, also when the same request comes twice at a time', async () => {
    const tenant = uuidIds.next()
    const outcomes = await Promise.all([stored(tenant, { key: 'k' }), stored(tenant, { key: 'k' })])
    expect(outcomes.map(({ outcome }) => outcome.outcome).sort()).toEqual(['issued', 'replayed'])
    expect(await store.studies.list(tenant, { limit: 10 })).toHaveLength(1)
  })

  test('leaves an audit entry', async () => {
    const tenant = uuidIds.next()
    const { id } = await stored(tenant)
    const entries = await db.selectFrom('audit').select(['event', 'subject']).where('tenant', '=', tenant).execute()
    expect(entries).toEqual([{ event: 'study-registered', subject: id }])
  })

  test('is listed newest first, page by page, and by facility', async () => {
    const tenant = uuidIds.next()
    const ids: string[] = []
    for (const facility of ['a', 'b', 'a']) ids.unshift((await stored(tenant, { facility })).id)
    const of = async (page: Parameters<PlanStore['studies']['list']>[1]) =>
      (await store.studies.list(tenant, page)).map(({ id }) => id)
    expect(await of({ limit: 2 })).toEqual(ids.slice(0, 2))
    expect(await of({ limit: 2, before: ids[1] ?? '' })).toEqual(ids.slice(2))
    expect(await of({ limit: 10, facility: 'a' })).toEqual([ids[0], ids[2]])
  })
})
