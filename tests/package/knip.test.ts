import { execFile } from 'node:child_process'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { expect, test } from 'vitest'
import { root } from '../support/source-files.ts'

test('no file, export or dependency is there that nothing uses', async () => {
  const knip = join(root, 'tests/package/node_modules/knip/bin/knip.js')
  const args = [knip, '--config', 'tests/package/knip.json', '--reporter', 'compact', '--no-progress']
  const { stdout } = await promisify(execFile)(process.execPath, args, { cwd: root }).catch((error) => error)
  expect(stdout.trim()).toBe('')
}, 240_000)
