/** API keys: their text, who they belong to, and what is kept of them. */
import { createHash } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Store } from '../../packages/service/src/ports.ts'
import { createApiKey, parseApiKey } from '../../packages/service/src/store/api-key-text.ts'
import { type Database, openDatabase } from '../../packages/service/src/store/database.ts'
import { type EmbeddedPostgres, startEmbeddedPostgres } from '../../packages/service/src/store/embedded-postgres.ts'
import { createFirstApiKey } from '../../packages/service/src/store/first-api-key.ts'
import { uuidIds } from '../../packages/service/src/store/ids.ts'
import { migrate } from '../../packages/service/src/store/migrations.ts'
import { createStore } from '../../packages/service/src/store/store.ts'
import { type DataFolder, temporaryDataFolder } from '../faults/support/data-folder.ts'
import { NOW } from '../faults/support/issuance.ts'

let folder: DataFolder
let database: EmbeddedPostgres
let db: Database
let store: Store

beforeAll(async () => {
  folder = await temporaryDataFolder()
  database = await startEmbeddedPostgres({ dataFolder: folder.path, notify: () => undefined, onLost: () => undefined })
  db = openDatabase(database.connection, () => undefined)
  await migrate(db, NOW)
  store = createStore(db, database.stop)
})

afterAll(async () => {
  await store?.close()
  await folder.remove()
})

const request = {
  organisation: 'Ridgeline Parts',
  scopes: ['assessments:write'],
  clock: { now: () => NOW },
  ids: uuidIds,
}

describe('the text of a key', () => {
  test('shows a prefix, and 190 random bits with a checksum behind it', () => {
    const { text, prefix } = createApiKey()
    expect(text).toMatch(/^fp_[0-9A-Za-z]{8}_[0-9A-Za-z]{38}$/)
    expect(text.startsWith(`fp_${prefix}_`)).toBe(true)
  })

  test('is new every time, in prefix and secret', () => {
    const keys = Array.from({ length: 200 }, createApiKey)
    expect(new Set(keys.map(({ prefix }) => prefix)).size).toBe(200)
    expect(new Set(keys.map(({ text }) => text.split('_')[2])).size).toBe(200)
  })

  test('uses all 62 characters about equally often', () => {
    const text = Array.from({ length: 500 }, () => createApiKey().text.slice(12, 44)).join('')
    const counts = new Map<string, number>()
    for (const character of text) counts.set(character, (counts.get(character) ?? 0) + 1)
    // 16,000 characters, 258 of each expected, standard deviation 16: six of them either way.
    expect(counts.size).toBe(62)
    expect(Math.min(...counts.values())).toBeGreaterThan(258 - 96)
    expect(Math.max(...counts.values())).toBeLessThan(258 + 96)
  })

  test('reads back with the digest of its secret part', () => {
    const { text, prefix, secretDigest } = createApiKey()
    const secret = text.split('_')[2] ?? ''
    expect(parseApiKey(text)).toEqual({ text, prefix, secretDigest })
    expect(Buffer.from(secretDigest)).toEqual(createHash('sha256').update(secret).digest())
  })

  test('no key: one character exchanged, cut, or added anywhere', () => {
    const { text } = createApiKey()
    for (let index = 0; index < text.length; index += 1) {
      const other = text[index] === '7' ? '8' : '7'
      expect(parseApiKey(text.slice(0, index) + other + text.slice(index + 1)), `exchanged at ${index}`).toBeUndefined()
      expect(parseApiKey(text.slice(0, index) + text.slice(index + 1)), `cut at ${index}`).toBeUndefined()
      expect(parseApiKey(text.slice(0, index) + other + text.slice(index)), `added at ${index}`).toBeUndefined()
    }
  })

  test.each(['', ' ', 'fp_', 'fp__', `${createApiKey().text}\n`, ` ${createApiKey().text}`])('no key: %j', (text) => {
    expect(parseApiKey(text)).toBeUndefined()
  })
})

describe('the first key', () => {
  test('is made once, also when several replicas start at once, and opens the door', async () => {
    const made = await Promise.all(Array.from({ length: 8 }, () => createFirstApiKey(store, request)))
    const texts = made.filter((text) => text !== undefined)
    expect(texts).toHaveLength(1)
    expect(await createFirstApiKey(store, request)).toBeUndefined()
    const organisations = await db.selectFrom('organisations').selectAll().execute()
    expect(organisations.map(({ name }) => name)).toEqual(['Ridgeline Parts'])
    const caller = await store.apiKeys.authenticate(texts[0] ?? '')
    expect(caller).toMatchObject({
      tenant: organisations[0]?.tenant,
      organisation: 'Ridgeline Parts',
      scopes: ['assessments:write'],
    })
  })
})

describe('who a key belongs to', () => {
  async function storedKey(): Promise<{ text: string; tenant: string; id: string }> {
    const { text, prefix, secretDigest } = createApiKey()
    const [organisation] = await db.selectFrom('organisations').selectAll().execute()
    const tenant = organisation?.tenant ?? ''
    const id = uuidIds.next()
    await store.apiKeys.create({ tenant, id, prefix, secretDigest, scopes: ['read', 'write'], createdAt: NOW })
    return { text, tenant, id }
  }

  test('a further key of an organisation works beside the first', async () => {
    const { text, tenant, id } = await storedKey()
    expect(await store.apiKeys.authenticate(text)).toEqual({
      tenant,
      organisation: 'Ridgeline Parts',
      apiKey: id,
      scopes: ['read', 'write'],
    })
  })

  test('a well-formed key that was never stored belongs to nobody', async () => {
    expect(await store.apiKeys.authenticate(createApiKey().text)).toBeUndefined()
  })

  test('the prefix of one key with the secret of another belongs to nobody', async () => {
    const { prefix } = createApiKey()
    const { text, tenant } = await storedKey()
    const secret = parseApiKey(text)
    const stranger = createApiKey()
    await store.apiKeys.create({
      tenant,
      id: uuidIds.next(),
      prefix: stranger.prefix,
      secretDigest: secret?.secretDigest ?? new Uint8Array(32),
      scopes: [],
      createdAt: NOW,
    })
    expect(await store.apiKeys.authenticate(stranger.text)).toBeUndefined()
    expect(await store.apiKeys.authenticate(text.replace(secret?.prefix ?? '', prefix))).toBeUndefined()
  })

  test('a revoked key belongs to nobody from the next request on; it is revoked once, and by its tenant only', async () => {
    const { text, tenant, id } = await storedKey()
    expect(await store.apiKeys.revoke(uuidIds.next(), id, NOW)).toBe(false)
    expect(await store.apiKeys.authenticate(text)).toBeDefined()
    expect(await store.apiKeys.revoke(tenant, id, NOW)).toBe(true)
    expect(await store.apiKeys.authenticate(text)).toBeUndefined()
    expect(await store.apiKeys.revoke(tenant, id, NOW)).toBe(false)
  })

  test('nothing of the secret is in the database but its digest', async () => {
    const { text } = await storedKey()
    const rows = JSON.stringify(await db.selectFrom('api_keys').selectAll().execute())
    const [, prefix = '', secret = ''] = text.split('_')
    expect(rows).toContain(prefix)
    expect(rows).not.toContain(secret.slice(0, 8))
  })
})
