/** The service is killed without warning, and sometimes its database with it, while it writes. */
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { Store } from '../../packages/service/src/ports.ts'
import { openStore } from '../../packages/service/src/store/store.ts'
import { type Bundle, bundle } from './support/bundle.ts'
import { type Child, startWriter, type WriterMessage } from './support/child.ts'
import { type DataFolder, postmasterPid, temporaryDataFolder } from './support/data-folder.ts'
import { bytesOf, digestOf, issuanceOf, TENANT } from './support/issuance.ts'

/** Rounds of writing and killing; `npm run torture` sets more. */
const KILLS = Number(process.env.KILLS ?? 40)

/** Acknowledgements of a round before the kill. */
const WRITES_PER_ROUND = 60

/** Requests that the next round sends again, acknowledged or not. */
const SENT_AGAIN = 20

type Acknowledged = Extract<WriterMessage, { kind: 'acknowledged' }>

let script: Bundle
let folder: DataFolder
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
  await folder.remove()
})

const open = () => openStore({ dataFolder: folder.path, notify: () => undefined, onLost: () => undefined })

const isAcknowledged = (message: WriterMessage): message is Acknowledged => message.kind === 'acknowledged'

/** One life of the service: it starts, writes, and is killed in the middle of it. */
async function roundOf(writer: Child, killDatabase: boolean): Promise<readonly Acknowledged[]> {
  await writer.until(() => writer.messages.filter(isAcknowledged).length >= WRITES_PER_ROUND)
  const database = await postmasterPid(folder.cluster)
  await writer.kill()
  if (killDatabase) process.kill(database, 'SIGKILL')
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

describe('kill -9 under load', () => {
  test(`${KILLS} kills: every acknowledged answer is there byte for byte, and no request took effect twice`, async () => {
    const answers = new Map<number, string>()
    let highest = 0
    for (let kill = 1; kill <= KILLS; kill += 1) {
      const writer = startWriter(script.file, folder.path, Math.max(0, highest - SENT_AGAIN))
      for (const { number, outcome, location } of await roundOf(writer, kill % 2 === 0)) {
        expect(['issued', 'replayed']).toContain(outcome)
        expect(answers.get(number) ?? location, `request ${number} was answered differently before`).toBe(location)
        answers.set(number, location)
        highest = Math.max(highest, number)
      }
    }

    store = await open()
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
