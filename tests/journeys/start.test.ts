/** What an operator sees at the start, and one sentence for each thing that keeps the service from starting. */
import { statSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import {
  createDataFolder,
  type ServiceProcess,
  startInterrupted,
  startProcess,
  startRefusal,
} from '../support/service-process.ts'

const folder = createDataFolder()
const running: ServiceProcess[] = []

afterAll(async () => {
  await Promise.all(running.map((service) => service.end('SIGTERM')))
  folder.remove()
})

async function started(): Promise<ServiceProcess> {
  const service = await startProcess(folder.path, { FAIRPULL_ORGANISATION: 'Workshop A' })
  running.push(service)
  return service
}

describe('the first start', () => {
  test('makes a key that works, shows it once, and keeps the signing key to itself', async () => {
    const first = await started()
    expect(first.firstApiKey).toMatch(/^fp_[0-9A-Za-z]{8}_[0-9A-Za-z]{38}$/)
    const listed = await fetch(`${first.url}/v1/assessments`, {
      headers: { authorization: `Bearer ${first.firstApiKey}` },
    })
    expect(listed.status).toBe(200)
    expect(statSync(join(folder.path, 'keys', 'signing-key.json')).mode & 0o777).toBe(0o600)
    const keyId = (await (await fetch(`${first.url}/.well-known/jwks.json`)).json()).keys[0].kid
    expect(first.stderr()).toContain(`Signing key ${keyId}`)
    expect(await first.end('SIGTERM')).toBe(0)

    const second = await started()
    expect(second.firstApiKey).toBeUndefined()
    expect(second.stderr()).not.toContain('fp_')
  })
})

test('a signal during the start ends it in order, and the folder can be used again', async () => {
  const other = createDataFolder()
  expect((await startInterrupted(other.path, 'SIGTERM')).code).toBe(0)
  const service = await startProcess(other.path)
  expect(await service.end('SIGTERM')).toBe(0)
  other.remove()
})

describe('what keeps the service from starting is said in one sentence, with exit code 1', () => {
  test('a variable that cannot be used', async () => {
    expect(await startRefusal(folder.path, { PORT: 'eighty' })).toEqual({
      code: 1,
      stderr: 'The variable PORT must be a whole number from 0 to 65535.\n',
    })
  })

  test('a data folder that another service has', async () => {
    const [service] = [running.at(-1) ?? (await started())]
    const refusal = await startRefusal(folder.path)
    expect(refusal.code).toBe(1)
    expect(refusal.stderr.trim().split('\n')).toHaveLength(1)
    expect(refusal.stderr).toContain(folder.path)
    expect((await fetch(`${service.url}/readyz`)).status).toBe(200)
  })

  test('a port that another program has, without a key being made that nobody sees', async () => {
    const service = running.at(-1) ?? (await started())
    const other = createDataFolder()
    const port = new URL(service.url).port
    const refusal = await startRefusal(other.path, { PORT: port })
    expect(refusal.code).toBe(1)
    expect(refusal.stderr.trimEnd().split('\n').at(-1)).toBe(
      `The service cannot listen on 127.0.0.1, port ${port}: another program listens there; stop it, or set PORT to another number.`,
    )
    const retried = await startProcess(other.path)
    expect(retried.firstApiKey).toBeDefined()
    expect(await retried.end('SIGTERM')).toBe(0)
    other.remove()
  })
})
