/** The tool author's example as its README says: its own tests pass, and it serves. */
import { spawn } from 'node:child_process'
import { recordedSession } from '@fairpull/sdk/testing'
import { expect, test } from 'vitest'
import { exampleFile, runIn } from './example.ts'

const folder = exampleFile('tool-author')

test('its own tests pass', async () => {
  const { exit, stdout } = await runIn(folder, ['--test', '--test-reporter=tap'])
  expect(exit, stdout).toBe(0)
  expect(Number(/^# pass (\d+)$/m.exec(stdout)?.[1])).toBeGreaterThanOrEqual(10)
}, 120_000)

test('it serves, and scores without a service that signs', async () => {
  const server = spawn(process.execPath, ['server.mjs'], { cwd: folder, env: { ...process.env, PORT: '0' } })
  try {
    const url = await new Promise<string>((resolve, reject) => {
      server.stdout.once('data', (line) => resolve(String(line).trim()))
      server.once('exit', (code) => reject(new Error(`ended with ${code}`)))
    })
    const body = JSON.stringify(recordedSession())
    const init = { method: 'POST', headers: { 'content-type': 'application/json' }, body }
    const scored = await fetch(`${url}/scores`, init)
    expect(scored.status).toBe(200)
    expect(await scored.json()).toMatchObject({ standing: 'valid', claims: [{ judgement: 'supported' }] })
  } finally {
    server.kill()
  }
})
