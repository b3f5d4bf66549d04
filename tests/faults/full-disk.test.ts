/** The disk runs full under a service: it refuses and says why, loses nothing, and goes on by itself once there is room. */
import { afterAll, expect, test } from 'vitest'
import { auditLog } from '../../packages/sdk/src/client/audit-log.ts'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { type ServiceProcess, startProcess } from '../support/service-process.ts'
import { allIdentities, logVerifierOf } from './support/served.ts'
import { mountSmallDisk } from './support/small-disk.ts'

const disk = mountSmallDisk(256)
let service: ServiceProcess | undefined

afterAll(async () => {
  await service?.end('SIGTERM')
  disk?.remove()
})

/** Requests while there is no room. */
const REFUSALS = 30

const submit = (url: string, apiKey: string) =>
  fetch(`${url}/v1/assessments`, {
    method: 'POST',
    headers: { authorization: `Bearer ${apiKey}`, 'content-type': 'application/json' },
    body: JSON.stringify(comparisonExamples.publishedFigures),
  })

test.skipIf(disk === undefined)(
  'a full disk refuses with 503, loses nothing, and recovers without a restart',
  async () => {
    if (disk === undefined) return
    service = await startProcess(`${disk.path}/data`, { FAIRPULL_RATE_LIMIT: '0' })
    const { url, firstApiKey: apiKey = '' } = service
    const acknowledged: string[] = []
    const answers: { readonly status: number; readonly code: string | undefined }[] = []
    const send = async () => {
      const response = await submit(url, apiKey)
      const { id, code } = await response.json()
      if (response.status === 201) acknowledged.push(id)
      else answers.push({ status: response.status, code })
      return response.status
    }
    for (let count = 0; count < 5; count += 1) expect(await send()).toBe(201)

    disk.fill(512 * 1024)
    while (answers.length < REFUSALS) await send()
    expect(new Set(answers.map(({ status }) => status))).toEqual(new Set([503]))
    const known = ['ERR_STORE_FULL', 'ERR_STORE_UNAVAILABLE']
    expect(answers.filter(({ code }) => !known.includes(code ?? ''))).toEqual([])

    disk.free()
    await expect.poll(send, { timeout: 120_000, interval: 500 }).toBe(201)
    expect(await allIdentities(url, apiKey)).toEqual(expect.arrayContaining([...acknowledged].sort()))
    const audit = await auditLog({ logUrl: `${url}/log`, log: await logVerifierOf(url) })
    expect(audit).toMatchObject({ ok: true })
  },
  600_000,
)
