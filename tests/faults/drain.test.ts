/** SIGTERM while many submit: whatever took effect was answered, and stands in the log, also after the next start. */
import { afterAll, expect, test } from 'vitest'
import { auditLog } from '../../packages/sdk/src/client/audit-log.ts'
import { leafHash, summaryLogEntry } from '../../packages/sdk/src/integrity/index.ts'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { createDataFolder, type ServiceProcess, startProcess } from '../support/service-process.ts'
import { allIdentities, logVerifierOf } from './support/served.ts'

/** Stops under load; `npm run torture` sets more. */
const DRAINS = Number(process.env.DRAINS ?? 3)

/** Answers of a round before the stop. */
const ANSWERS_PER_ROUND = 20
const LANES = 12

const folder = createDataFolder()
const running = new Set<ServiceProcess>()

afterAll(async () => {
  await Promise.all([...running].map((service) => service.end('SIGKILL')))
  folder.remove()
})

interface Answered {
  readonly status: number
  readonly body: { readonly id: string; readonly summary: string; readonly code?: string }
}

/** Submits from several sides until the service is gone; every answer that arrived is in `answers`. */
async function submitUntilGone(url: string, apiKey: string, answers: Answered[]): Promise<void> {
  const lane = async () => {
    for (;;) {
      const response = await fetch(`${url}/v1/assessments`, {
        method: 'POST',
        headers: { authorization: `Bearer ${apiKey}`, 'content-type': 'application/json' },
        body: JSON.stringify(comparisonExamples.publishedFigures),
      }).catch(() => undefined)
      if (response === undefined) return
      answers.push({ status: response.status, body: await response.json() })
    }
  }
  await Promise.all(Array.from({ length: LANES }, lane))
}

async function start(): Promise<ServiceProcess> {
  const service = await startProcess(folder.path, { FAIRPULL_RATE_LIMIT: '0' })
  running.add(service)
  void service.ended.then(() => running.delete(service))
  return service
}

test(`${DRAINS} stops under load: every effect was answered, and every answer is in the log`, async () => {
  const answers: Answered[] = []
  let apiKey = ''
  for (let stop = 0; stop < DRAINS; stop += 1) {
    const service = await start()
    apiKey = service.firstApiKey ?? apiKey
    const before = answers.length
    const submitting = submitUntilGone(service.url, apiKey, answers)
    while (answers.length < before + ANSWERS_PER_ROUND) await new Promise((resolve) => setTimeout(resolve, 2))
    expect(await service.end('SIGTERM')).toBe(0)
    await submitting
  }
  const refusals = answers.filter(({ status }) => status !== 201)
  expect(refusals.filter(({ status, body }) => status !== 503 || body.code !== 'ERR_DRAINING')).toEqual([])

  const service = await start()
  const issued = answers.filter(({ status }) => status === 201).map(({ body }) => body)
  expect(await allIdentities(service.url, apiKey)).toEqual(issued.map(({ id }) => id).sort())
  const leaves = new Set<string>()
  const entries: Uint8Array[] = []
  const log = await logVerifierOf(service.url)
  const audit = await auditLog({ logUrl: `${service.url}/log`, log, onEntry: (entry) => entries.push(entry) })
  expect(audit).toMatchObject({ ok: true, checkpoint: { size: issued.length } })
  for (const entry of entries) leaves.add(Buffer.from(await leafHash(entry)).toString('hex'))
  for (const { summary } of issued) {
    const leaf = await leafHash(await summaryLogEntry(summary))
    expect(leaves.has(Buffer.from(leaf).toString('hex'))).toBe(true)
  }
  await service.end('SIGTERM')
}, 3_600_000)
