/** The operator's commands, as they are typed: organisations, keys, trust, and a log that was restored from a backup. */
import { spawnSync } from 'node:child_process'
import { copyFileSync, cpSync, mkdirSync, readFileSync, renameSync, rmSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, describe, expect, test } from 'vitest'
import { importPublicKey, readTrustList } from '../../packages/sdk/src/integrity/index.ts'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { createDataFolder, type ServiceProcess, startProcess } from '../support/service-process.ts'

const main = fileURLToPath(new URL('../../packages/service/dist/src/main.js', import.meta.url))
const folder = createDataFolder()
const keys = join(folder.path, 'keys')
const away = join(folder.path, '..', 'offline')

afterAll(() => folder.remove())

function operate(...args: string[]) {
  const environment = { ...process.env, FAIRPULL_DATA: folder.path, DATABASE_URL: '' }
  const { status, stdout, stderr } = spawnSync(process.execPath, [main, ...args], {
    env: environment,
    encoding: 'utf8',
  })
  return { status, stdout: stdout.trim(), stderr }
}

async function served<T>(work: (service: ServiceProcess) => Promise<T>): Promise<T> {
  const service = await startProcess(folder.path)
  try {
    return await work(service)
  } finally {
    await service.end('SIGTERM')
  }
}

const submit = (url: string, key: string) =>
  fetch(`${url}/v1/assessments`, {
    method: 'POST',
    headers: { authorization: `Bearer ${key}`, 'content-type': 'application/json' },
    body: JSON.stringify(comparisonExamples.publishedFigures),
  })

test('first start, root moved away, a second organisation, two keys, revocation, rotation, revocation of a key', async () => {
  const first = await served(async ({ url, stderr, firstApiKey = '' }) => {
    expect(stderr()).toContain('The root key')
    expect((await submit(url, firstApiKey)).status).toBe(201)
    return { key: firstApiKey, trust: await (await fetch(`${url}/trust.json`)).json() }
  })
  expect(statSync(join(keys, 'root-key.json')).mode & 0o777).toBe(0o600)
  mkdirSync(away)
  renameSync(join(keys, 'root-key.json'), join(away, 'root-key.json'))
  const root = await importPublicKey(JSON.parse(readFileSync(join(keys, 'root-public.json'), 'utf8')))
  if (!root.ok) throw new Error(root.problem.detail)
  const now = new Date().toISOString()
  expect(await readTrustList(first.trust.list, { root: root.value, now })).toMatchObject({ ok: true })

  expect(operate('keys').status).toBe(2)
  expect(operate('keys', 'list', '--organisation', 'x').stderr).toContain('organisations list')
  const added = operate('organisations', 'add', '--name', 'Workshop B')
  expect(operate('organisations', 'list').stdout).toContain('Workshop B')
  const organisation = ['--organisation', added.stdout]
  const one = operate('keys', 'add', ...organisation, '--scopes', 'assessments:read')
  const other = operate('keys', 'add', ...organisation)
  expect(one.stdout).toMatch(/^fp_\w{8}_\w{38}$/)
  expect(operate('keys', 'add', ...organisation).stderr).toContain('has 2 active keys')
  const id = /API key (\S+) of/.exec(one.stderr)?.[1] ?? ''
  await served(async ({ url, stderr }) => {
    expect(stderr()).not.toContain('root key')
    expect((await submit(url, one.stdout)).status).toBe(403)
    expect((await submit(url, other.stdout)).status).toBe(201)
  })
  expect(operate('keys', 'revoke', ...organisation, '--key', id).status).toBe(0)
  expect(operate('keys', 'list', ...organisation).stdout).toContain('revoked')

  const rootFile = ['--root', join(away, 'root-key.json')]
  expect(operate('trust', 'renew', '--root', join(keys, 'signing-key.json')).status).toBe(2)
  expect(operate('trust', 'rotate', ...rootFile, '--overlap-hours', '1').status).toBe(0)
  const before = JSON.parse(operate('trust', 'show').stdout).keys[0].jwk.kid
  expect(operate('trust', 'revoke', ...rootFile, '--key', before, '--from-index', '1').status).toBe(0)
  await served(async ({ url }) => {
    const { list, version } = await (await fetch(`${url}/trust.json`)).json()
    expect(version).toBe(3)
    expect(await readTrustList(list, { root: root.value, now: new Date().toISOString() })).toMatchObject({ ok: true })
    expect((await submit(url, one.stdout)).status).toBe(401)
    const issued = await (await submit(url, first.key)).json()
    const verified = await fetch(`${url}/v1/verifications`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ summary: issued.summary, log: issued.log }),
    })
    expect(await verified.json()).toMatchObject({ verdict: 'verified', logged: { status: 'proven', index: 2 } })
  })
  expect(operate('log', 'check')).toMatchObject({ status: 0, stdout: expect.stringContaining('3 entries') })
}, 240_000)

describe('a database restored from a backup that is older than what was signed', () => {
  test('is read, but signs nothing until it is repaired', async () => {
    const database = join(folder.path, 'postgres')
    const backup = `${folder.path}-backup`
    const organisation = operate('organisations', 'list').stdout.split('\n').at(-1)?.split(' ')[0] ?? ''
    const key = operate('keys', 'add', '--organisation', organisation).stdout
    cpSync(database, backup, { recursive: true, preserveTimestamps: true })
    await served(async ({ url }) => expect((await submit(url, key)).status).toBe(201))
    const kept = `${folder.path}-newer`
    renameSync(database, kept)
    renameSync(backup, database)
    spawnSync('chown', ['-R', `--reference=${kept}`, database])
    await served(async ({ url, stderr }) => {
      expect(stderr()).toContain('the database holds 3 entries, but a tree of 4 was signed before')
      const refused = await submit(url, key)
      expect([refused.status, (await refused.json()).code]).toEqual([503, 'ERR_LOG_STOPPED'])
      expect((await fetch(`${url}/log/checkpoint`)).status).toBe(503)
      expect(await (await fetch(`${url}/readyz`)).json()).toMatchObject({ status: 'reads-only' })
    })
    expect(operate('log', 'resume').status).toBe(1)
    rmSync(database, { recursive: true, force: true })
    renameSync(kept, database)
    await served(async ({ url }) => expect((await submit(url, key)).status).toBe(201))
    expect(operate('log', 'check').status).toBe(0)
  }, 240_000)
})

test('the mark of the log is closed to others', () => {
  expect(statSync(join(folder.path, 'log-high-water-mark.json')).mode & 0o777).toBe(0o600)
  copyFileSync(join(folder.path, 'log-high-water-mark.json'), join(away, 'mark.json'))
})
