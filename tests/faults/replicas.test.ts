/** Two replicas of the service, as processes of their own, on one PostgreSQL server; one of them is killed again and again. */
import { cpSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { auditLog } from '../../packages/sdk/src/client/audit-log.ts'
import { leafHash, subtreesOf, treeRoot, verifySummary } from '../../packages/sdk/src/integrity/index.ts'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { type EmbeddedPostgres, startEmbeddedPostgres } from '../../packages/service/src/store/embedded-postgres.ts'
import { type ServiceProcess, startProcess } from '../support/service-process.ts'
import { type DataFolder, temporaryDataFolder } from './support/data-folder.ts'
import { allIdentities, checkpointIn, logVerifierOf } from './support/served.ts'

/** Requests, keys they are spread over, and kills of a replica; a longer run sets them. */
const POSTS = Number(process.env.POSTS ?? 1_000)
const KEYS = Number(process.env.KEYS ?? 100)
const REPLICA_KILLS = Number(process.env.REPLICA_KILLS ?? 3)
const LANES = 32

let folder: DataFolder
let database: EmbeddedPostgres
const replicas: ServiceProcess[] = []
let apiKey = ''

const dataOf = (replica: number) => join(folder.path, `replica-${replica}`)

function environment() {
  const { user, password, host, database: name } = database.connection
  return {
    DATABASE_URL: `postgresql://${user}:${password}@${encodeURIComponent(host ?? '')}/${name}`,
    FAIRPULL_RATE_LIMIT: '0',
  }
}

beforeAll(async () => {
  folder = await temporaryDataFolder()
  database = await startEmbeddedPostgres({ dataFolder: folder.path, notify: () => undefined, onLost: () => undefined })
  for (const replica of [0, 1]) {
    mkdirSync(dataOf(replica))
    if (replica > 0) cpSync(join(dataOf(0), 'keys'), join(dataOf(replica), 'keys'), { recursive: true })
    replicas[replica] = await startProcess(dataOf(replica), environment())
    apiKey = replicas[replica]?.firstApiKey ?? apiKey
  }
}, 120_000)

afterAll(async () => {
  await Promise.all(replicas.map((replica) => replica.end('SIGKILL')))
  await database?.stop()
  await folder?.remove()
})

const replicaAt = (number: number): ServiceProcess => {
  const replica = replicas[number % 2]
  if (replica === undefined) throw new Error('no such replica')
  return replica
}

const bodyOf = (key: number) =>
  JSON.stringify({ ...comparisonExamples.publishedFigures, changes: [{ what: `part ${key}`, role: 'under-test' }] })

async function post(
  { key, replica }: { readonly key: number; readonly replica: number },
  body: string,
): Promise<Response | undefined> {
  const headers = {
    authorization: `Bearer ${apiKey}`,
    'content-type': 'application/json',
    'idempotency-key': `key-${key}`,
  }
  return fetch(`${replicaAt(replica).url}/v1/assessments`, { method: 'POST', headers, body }).catch(() => undefined)
}

/** Sends until it is answered; a lost answer or a full replica is asked again, at the other one too. */
async function answered(number: number): Promise<string> {
  const key = number % KEYS
  for (let attempt = 0; ; attempt += 1) {
    const response = await post({ key, replica: number + Math.floor(number / KEYS) + attempt }, bodyOf(key))
    if (response?.status === 201) return response.text()
    if (response !== undefined && response.status !== 503)
      throw new Error(`${response.status} ${await response.text()}`)
    await new Promise((resolve) => setTimeout(resolve, 50))
  }
}

async function killReplica(): Promise<void> {
  const killed = replicaAt(1)
  await killed.end('SIGKILL')
  replicas[1] = await startProcess(dataOf(1), environment())
}

test(`${POSTS} requests over ${KEYS} keys at two replicas with ${REPLICA_KILLS} kills: ${KEYS} effects, one history`, async () => {
  const checkpoints = new Set<string>()
  const state = { next: 0, isOver: false }
  const texts = new Map<number, Set<string>>()
  const lane = async () => {
    while (state.next < POSTS) {
      const number = state.next++
      const known = texts.get(number % KEYS) ?? new Set()
      texts.set(number % KEYS, known.add(await answered(number)))
    }
  }
  const watch = async () => {
    for (let turn = 0; !state.isOver; turn += 1) {
      const response = await fetch(`${replicaAt(turn).url}/log/checkpoint`).catch(() => undefined)
      if (response?.status === 200) checkpoints.add(await response.text())
      await new Promise((resolve) => setTimeout(resolve, 5))
    }
  }
  const kills = async () => {
    for (let kill = 0; kill < REPLICA_KILLS; kill += 1) {
      await new Promise((resolve) => setTimeout(resolve, 1_000))
      await killReplica()
    }
  }
  const watching = watch()
  await Promise.all([...Array.from({ length: LANES }, lane), kills()])
  state.isOver = true
  await watching

  // One effect per key, and every repetition got the same bytes.
  expect(texts.size).toBe(KEYS)
  expect([...texts.values()].every((answers) => answers.size === 1)).toBe(true)
  const issued = [...texts.values()].map(([text = '']) => JSON.parse(text))
  expect(await allIdentities(replicaAt(0).url, apiKey)).toEqual(issued.map(({ id }) => id).sort())
  for (const { log } of issued) checkpoints.add(log.checkpoint)
  const reused = await post({ key: 0, replica: 0 }, bodyOf(KEYS + 1))
  expect(reused?.status).toBe(422)

  const verifier = await logVerifierOf(replicaAt(0).url)
  const leaves: Uint8Array[] = []
  const entries: Uint8Array[] = []
  const audit = await auditLog({
    logUrl: `${replicaAt(0).url}/log`,
    log: verifier,
    onEntry: (entry) => entries.push(entry),
  })
  expect(audit).toMatchObject({ ok: true })
  for (const entry of entries) leaves.push(await leafHash(entry))
  expect(entries).toHaveLength(KEYS)
  const subtrees = await subtreesOf(leaves)
  const sizes = new Set<number>()
  for (const text of checkpoints) {
    const { size, root } = await checkpointIn(text, verifier)
    // Every checkpoint is the root of a beginning of the one log, so any two of them are consistent.
    expect(Buffer.compare(root, await treeRoot(subtrees, size))).toBe(0)
    sizes.add(size)
  }
  expect(sizes.size).toBeGreaterThan(1)
  const [{ summary, log }] = issued
  expect((await verifySummary(summary, { log })).failure?.code).toBe('ERR_SIGNATURE_NO_KEY')
  const { keys } = await (await fetch(`${replicaAt(1).url}/.well-known/jwks.json`)).json()
  expect(keys).toHaveLength(1)
}, 1_800_000)
