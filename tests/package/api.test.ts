import { expect, test } from 'vitest'
import manifest from '../../packages/sdk/package.json' with { type: 'json' }
import { apiDocument } from './api-report.ts'

test('api.md says what the package exports', async () => {
  const entries = Object.entries(manifest.exports).flatMap(([path, target]) =>
    typeof target === 'string' ? [] : [[path.replace('.', manifest.name), target.types] as const],
  )
  const document = apiDocument(Object.fromEntries(entries))
  expect(document).toContain('export class Fairpull')
  await expect(document).toMatchFileSnapshot('../../packages/sdk/api.md')
}, 240_000)
