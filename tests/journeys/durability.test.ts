/** What was acknowledged stays, and every end of the process is orderly or harmless. */
import { afterAll, describe, expect, test } from 'vitest'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { createDataFolder, type ServiceProcess, startProcess } from '../support/service-process.ts'

const comparison = comparisonExamples.publishedFigures
const folders: { remove(): void }[] = []
const running = new Set<ServiceProcess>()

afterAll(async () => {
  await Promise.all([...running].map((service) => service.end('SIGTERM')))
  for (const folder of folders) folder.remove()
})

async function started(path: string): Promise<ServiceProcess> {
  const service = await startProcess(path)
  running.add(service)
  void service.ended.then(() => running.delete(service))
  return service
}

function freshFolder(): string {
  const folder = createDataFolder()
  folders.push(folder)
  return folder.path
}

function submit(url: string, key: string, headers: Record<string, string> = {}, label = 'silencer') {
  return fetch(`${url}/v1/assessments`, {
    method: 'POST',
    headers: { authorization: `Bearer ${key}`, 'content-type': 'application/json', ...headers },
    body: JSON.stringify({ ...comparison, changes: [{ what: label, role: 'under-test' }] }),
  })
}

const read = (url: string, key: string) => fetch(url, { headers: { authorization: `Bearer ${key}` } })

describe('kill -9 right after a 201', () => {
  test('loses nothing: after a restart GET returns the same bytes, under the same keys', async () => {
    const folder = freshFolder()
    const first = await started(folder)
    const key = first.firstApiKey ?? ''
    const keysBefore = await (await fetch(`${first.url}/.well-known/jwks.json`)).text()
    const created = await submit(first.url, key, { 'idempotency-key': 'once' })
    expect(created.status).toBe(201)
    const body = await created.text()
    expect(await first.end('SIGKILL')).toBe('SIGKILL')

    const second = await started(folder)
    expect(second.firstApiKey).toBeUndefined()
    const readAgain = await read(`${second.url}${created.headers.get('location')}`, key)
    expect(await readAgain.text()).toBe(body)
    expect(readAgain.headers.get('etag')).toBe(created.headers.get('etag'))
    expect(await (await fetch(`${second.url}/.well-known/jwks.json`)).text()).toBe(keysBefore)

    const repeated = await submit(second.url, key, { 'idempotency-key': 'once' })
    expect(repeated.headers.get('idempotency-replayed')).toBe('true')
    expect(await repeated.text()).toBe(body)
    expect((await (await read(`${second.url}/v1/assessments`, key)).json()).items).toHaveLength(1)
  })

  test('in the middle of many: every 201 that was received is there, once', async () => {
    const folder = freshFolder()
    const first = await started(folder)
    const key = first.firstApiKey ?? ''
    const received = new Map<string, string>()
    const submitting = Promise.allSettled(
      Array.from({ length: 8 }, async (_, client) => {
        for (let count = 0; ; count += 1) {
          const response = await submit(first.url, key, {}, `part ${client} ${count}`)
          const body = await response.text()
          received.set(JSON.parse(body).id, body)
        }
      }),
    )
    while (received.size < 40) await new Promise((resolve) => setTimeout(resolve, 2))
    await first.end('SIGKILL')
    await submitting

    const second = await started(folder)
    for (const [id, body] of received) {
      expect(await (await read(`${second.url}/v1/assessments/${id}`, key)).text()).toBe(body)
    }
  })
})

describe('SIGTERM', () => {
  test('answers every request that was accepted, exits with 0, and a restart has every 201', async () => {
    const folder = freshFolder()
    const first = await started(folder)
    const key = first.firstApiKey ?? ''
    const answers = Array.from({ length: 60 }, async (_, count) => {
      // Read at once: a client that leaves an answer unread loses it when the connection closes.
      const response = await submit(first.url, key, {}, `part ${count}`)
      return { status: response.status, location: response.headers.get('location'), body: await response.text() }
    })
    const [sooner] = await Promise.all([Promise.race(answers)])
    expect(sooner?.status).toBe(201)
    const code = first.end('SIGTERM')

    const settled = await Promise.allSettled(answers)
    const received = settled.flatMap((each) => (each.status === 'fulfilled' ? [each.value] : []))
    expect(await code).toBe(0)
    expect(new Set(received.map(({ status }) => status))).toEqual(
      new Set(received.some(({ status }) => status === 503) ? [201, 503] : [201]),
    )

    const second = await started(folder)
    for (const { location, body } of received.filter(({ status }) => status === 201)) {
      expect(await (await read(`${second.url}${location}`, key)).text()).toBe(body)
    }
  })

  test('closes the store: the next start has nothing to repair or to adopt', async () => {
    const folder = freshFolder()
    const first = await started(folder)
    expect(await first.end('SIGINT')).toBe(0)
    expect(first.stderr()).toContain('"event":"stopped"')
    const second = await started(folder)
    expect(await second.end('SIGTERM')).toBe(0)
  })

  test('twice ends the process at once', async () => {
    const service = await started(freshFolder())
    const slow = fetch(`${service.url}/v1/verifications`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: new ReadableStream({ start: (controller) => controller.enqueue(new TextEncoder().encode('{')) }),
      duplex: 'half',
    } as RequestInit)
    const cut = expect(slow).rejects.toThrow()
    await new Promise((resolve) => setTimeout(resolve, 100))
    service.signal('SIGTERM')
    while (!service.stderr().includes('"event":"draining"')) await new Promise((resolve) => setTimeout(resolve, 5))
    expect(await service.end('SIGTERM')).toBe(1)
    await cut
  })
})
