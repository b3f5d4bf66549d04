/** The database goes away under a running service. */
import { readdirSync, readFileSync } from 'node:fs'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import type { IssueOutcome, Store } from '../../packages/service/src/ports.ts'
import { openStore } from '../../packages/service/src/store/store.ts'
import { type DataFolder, postmasterPid, temporaryDataFolder } from './support/data-folder.ts'
import { issuanceOf, TENANT } from './support/issuance.ts'

let folder: DataFolder
let store: Store
let sentences: string[]

beforeEach(async () => {
  folder = await temporaryDataFolder()
  sentences = []
  store = await openStore({
    dataFolder: folder.path,
    notify: (sentence) => sentences.push(sentence),
    onLost: () => undefined,
  })
})

afterEach(async () => {
  await store.close()
  await folder.remove()
})

/** Requests from several sides at once, for as long as `during` takes and a little longer. */
async function issueWhile(name: string, during: () => Promise<void>): Promise<readonly IssueOutcome[]> {
  const outcomes: IssueOutcome[] = []
  let isOver = false
  const lane = async (number: number) => {
    for (let turn = 0; !isOver || turn < 5; turn += 1) {
      const request = `${name}-${number}-${turn}`
      const key = number === 0 ? null : request
      outcomes.push(await store.issue(issuanceOf({ key, request })))
    }
  }
  const lanes = [0, 1, 2, 3].map(lane)
  await during()
  isOver = true
  await Promise.all(lanes)
  return outcomes
}

async function storedRequests(): Promise<readonly string[]> {
  const requests: string[] = []
  let before: string | undefined
  for (;;) {
    const page = await store.assessments.list(TENANT, { limit: 200, ...(before === undefined ? {} : { before }) })
    if (page.length === 0) return requests
    for (const { id } of page) {
      const stored = await store.assessments.find(TENANT, id)
      requests.push(Buffer.from(stored?.comparison ?? []).toString('latin1'))
    }
    before = page.at(-1)?.id
  }
}

async function expectRecovery(sentencesBefore: number): Promise<void> {
  await expect.poll(() => sentences.slice(sentencesBefore).at(-1), { timeout: 20_000 }).toBe('The database runs again.')
  expect(sentences.slice(sentencesBefore)).toEqual([
    'The database has stopped; starting it again.',
    'The database runs again.',
  ])
}

/** One of the database's own processes that serves a connection of the store. */
function backendOf(postmaster: number): number {
  const processes = readdirSync('/proc').filter((name) => /^\d+$/.test(name))
  const found = processes.find((name) => {
    try {
      const parent = /^PPid:\s+(\d+)$/m.exec(readFileSync(`/proc/${name}/status`, 'utf8'))?.[1]
      const isServing = readFileSync(`/proc/${name}/cmdline`, 'utf8').startsWith('postgres: fairpull postgres')
      return parent === String(postmaster) && isServing
    } catch {
      return false
    }
  })
  return Number(found)
}

const pause = (duration_ms: number) => new Promise<void>((resolve) => setTimeout(resolve, duration_ms))

describe.skipIf(process.platform !== 'linux')('a database that goes away under load', () => {
  const losses = [
    ['is killed', async () => process.kill(await postmasterPid(folder.cluster), 'SIGKILL')],
    ['is shut down by somebody else', async () => process.kill(await postmasterPid(folder.cluster), 'SIGINT')],
    ['loses one process', async () => process.kill(backendOf(await postmasterPid(folder.cluster)), 'SIGKILL')],
  ] as const

  test('is started again, and every request under way is answered and takes effect once', async () => {
    const answered: IssueOutcome[] = []
    for (const [name, lose] of losses) {
      const before = sentences.length
      const outcomes = await issueWhile(name, async () => {
        await pause(100)
        await lose()
        await expectRecovery(before)
        await pause(100)
      })
      answered.push(...outcomes)
    }
    expect(answered.filter(({ outcome }) => outcome === 'conflict')).toEqual([])
    const stored = await storedRequests()
    expect(new Set(stored).size, 'requests that took effect twice').toBe(stored.length)
    expect(stored.length).toBe(answered.length)
    await store.check()
  })
})
