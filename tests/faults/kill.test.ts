/** The service is killed without warning, and sometimes its database with it, while it writes: its own, or a server's. */
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { Store } from '../../packages/service/src/ports.ts'
import { startEmbeddedPostgres } from '../../packages/service/src/store/embedded-postgres.ts'
import { openStore } from '../../packages/service/src/store/store.ts'
import { type Bundle, bundle } from './support/bundle.ts'
import { type Child, startWriter, type WriterMessage } from './support/child.ts'
import { type DataFolder, postmasterPid, temporaryDataFolder } from './support/data-folder.ts'
import { bytesOf, digestOf, issuanceOf, TENANT } from './support/issuance.ts'

/** Rounds of writing and killing on each of the two stores; `npm run torture` sets more. */
const KILLS = Number(process.env.KILLS ?? 20)

/** Acknowledgements of a round before the kill. */
const WRITES_PER_ROUND = 60

/** Requests that the next round sends again, acknowledged or not. */
const SENT_AGAIN = 20

type Acknowledged = Extract<WriterMessage, { kind: 'acknowledged' }>

let script: Bundle
let folder: DataFolder
let database: Lives
let store: Store | undefined

beforeAll(async () => {
  script = await bundle('writer.ts')
})

afterAll(() => script.remove())

beforeEach(async () => {
  folder = await temporaryDataFolder()
})

afterEach(async () => {
  await store?.close()
  store = undefined
  await database?.end()
  await folder.remove()
})

/** The database through the lives of its writers. */
interface Lives {
  /** A server's address; undefined for the writer's own database. */
  readonly url: string | undefined
  /** Resolves when a writer may start after so many kills of the database. */
  readonly ready: (kills: number) => Promise<void>
  readonly end: () => Promise<void>
}

/** The database that the writer itself starts, and adopts after a kill. */
const ownDatabase = async (): Promise<Lives> => ({
  url: undefined,
  ready: async () => undefined,
  end: async () => undefined,
})

/** A server that outlives its writers, and that somebody else starts again when it is killed. */
async function serverDatabase(): Promise<Lives> {
  const sentences: string[] = []
  const settled = () => sentences.filter((sentence) => sentence === 'The database runs again.').length
  const server = await startEmbeddedPostgres({
    dataFolder: folder.path,
    notify: (sentence) => sentences.push(sentence),
    onLost: (reason) => sentences.push(reason.message),
  })
  const { user, password, host, database: name } = server.connection
  return {
    url: `postgresql://${user}:${password}@${encodeURIComponent(host ?? '')}/${name}`,
    ready: (kills) => expect.poll(settled, { timeout: 120_000 }).toBe(kills),
    end: () => server.stop(),
  }
}

const isAcknowledged = (message: WriterMessage): message is Acknowledged => message.kind === 'acknowledged'

/** One life of the service: it starts, writes, and is killed in the middle of it. */
async function roundOf(writer: Child, isDatabaseKilled: boolean): Promise<readonly Acknowledged[]> {
  await writer.until(() => writer.messages.filter(isAcknowledged).length >= WRITES_PER_ROUND)
  const postmaster = await postmasterPid(folder.cluster)
  await writer.kill()
  if (isDatabaseKilled) process.kill(postmaster, 'SIGKILL')
  return writer.messages.filter(isAcknowledged)
}

async function storedIdentities(from: Store): Promise<readonly string[]> {
  const identities: string[] = []
  for (;;) {
    const before = identities.at(-1)
    const page = await from.assessments.list(TENANT, { limit: 200, ...(before === undefined ? {} : { before }) })
    if (page.length === 0) return identities
    identities.push(...page.map(({ id }) => id))
  }
}

describe.each([
  ['its own database', ownDatabase],
  ['a database server', serverDatabase],
] as const)('kill -9 under load, on %s', (_, open) => {
  test(`${KILLS} kills: every acknowledged answer is there byte for byte, and no request took effect twice`, async () => {
    database = await open()
    const answers = new Map<number, string>()
    let highest = 0
    for (let kill = 1; kill <= KILLS; kill += 1) {
      await database.ready(Math.floor((kill - 1) / 2))
      const writer = startWriter(script.file, folder.path, Math.max(0, highest - SENT_AGAIN), database.url)
      for (const { number, outcome, location } of await roundOf(writer, kill % 2 === 0)) {
        expect(['issued', 'replayed']).toContain(outcome)
        expect(answers.get(number) ?? location, `request ${number} was answered differently before`).toBe(location)
        answers.set(number, location)
        highest = Math.max(highest, number)
      }
    }

    await database.ready(Math.floor(KILLS / 2))
    const databaseUrl = database.url
    store = await openStore({ dataFolder: folder.path, databaseUrl, notify: () => undefined, onLost: () => undefined })
    const requests: string[] = []
    for (const id of await storedIdentities(store)) {
      const stored = await store.assessments.find(TENANT, id)
      const request = Buffer.from(stored?.payload ?? [])
        .toString('latin1')
        .split('|')[0]
      const { assessment } = issuanceOf({ request: request ?? '', id })
      expect(Buffer.from(stored?.jws ?? '')).toEqual(Buffer.from(assessment.jws))
      expect(Buffer.from(stored?.payload ?? [])).toEqual(Buffer.from(assessment.payload))
      expect(Buffer.from(stored?.comparison ?? [])).toEqual(Buffer.from(assessment.comparison))
      const run = await store.runs.find(TENANT, digestOf(`run of ${request}`))
      expect(Buffer.from(run ?? [])).toEqual(Buffer.from(bytesOf(`run of ${request}`)))
      requests.push(request ?? '')
    }
    expect(new Set(requests).size, 'requests that took effect twice').toBe(requests.length)
    const stored = new Set(requests)
    expect([...answers.keys()].filter((number) => !stored.has(`request-${number}`))).toEqual([])
    expect(answers.size).toBeGreaterThanOrEqual(WRITES_PER_ROUND)
  }, 3_600_000)
})
