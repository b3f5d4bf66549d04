/** A tool that knows nothing of this project: openssl verifies a summary and a checkpoint of a running service. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { comparisonExamples } from '../../packages/service/src/http/examples.ts'
import { type Journey, startJourney } from '../support/journey.ts'

let journey: Journey
const folder = mkdtempSync(join(tmpdir(), 'fairpull-openssl-'))

beforeAll(async () => {
  journey = await startJourney()
}, 120_000)

afterAll(async () => {
  await journey.end()
  rmSync(folder, { recursive: true })
})

/** Header of a DER SubjectPublicKeyInfo of an Ed25519 key, RFC 8410 §4. */
const ED25519_SPKI = Buffer.from('302a300506032b6570032100', 'hex')

function opensslAccepts(key: Buffer, data: Buffer, signature: Buffer): boolean {
  const files = { key: Buffer.concat([ED25519_SPKI, key]), data, signature }
  for (const [name, bytes] of Object.entries(files)) writeFileSync(join(folder, name), bytes)
  const args = [
    'pkeyutl',
    '-verify',
    '-pubin',
    '-keyform',
    'DER',
    '-inkey',
    'key',
    '-rawin',
    '-in',
    'data',
    '-sigfile',
    'signature',
  ]
  const { status, error } = spawnSync('openssl', args, { cwd: folder })
  if (error !== undefined) throw error
  return status === 0
}

const altered = (bytes: Buffer) => Buffer.concat([bytes.subarray(0, -1), Buffer.of((bytes.at(-1) ?? 0) ^ 1)])

describe('openssl', () => {
  test('verifies a summary, and not an altered one', async () => {
    const response = await journey.fetch(`${journey.service.url}/v1/assessments`, {
      method: 'POST',
      headers: { authorization: `Bearer ${journey.apiKey}`, 'content-type': 'application/json' },
      body: JSON.stringify(comparisonExamples.publishedFigures),
    })
    const { summary } = await response.json()
    const [header, payload, signature] = summary.split('.')
    const { keys } = await (await fetch(`${journey.service.url}/.well-known/jwks.json`)).json()
    const key = Buffer.from(keys[0].x, 'base64url')
    const data = Buffer.from(`${header}.${payload}`)
    expect(opensslAccepts(key, data, Buffer.from(signature, 'base64url'))).toBe(true)
    expect(opensslAccepts(key, altered(data), Buffer.from(signature, 'base64url'))).toBe(false)
  })

  test('verifies a checkpoint as a signed note, and not an altered one', async () => {
    const note = await (await journey.fetch(`${journey.service.url}/log/checkpoint`)).text()
    const [text = '', line = ''] = note.split('\n\n')
    const { list } = await (await fetch(`${journey.service.url}/trust.json`)).json()
    const { logs } = JSON.parse(Buffer.from(list.split('.')[1], 'base64url').toString('utf8'))
    const encoded = String(logs[0]).split('+').slice(2).join('+')
    const key = Buffer.from(encoded, 'base64').subarray(1)
    const signature = Buffer.from(line.trim().split(' ')[2] ?? '', 'base64').subarray(4)
    expect(opensslAccepts(key, Buffer.from(`${text}\n`), signature)).toBe(true)
    expect(opensslAccepts(key, altered(Buffer.from(`${text}\n`)), signature)).toBe(false)
  })
})
