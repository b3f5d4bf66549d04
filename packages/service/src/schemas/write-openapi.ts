/**
 * Writes schemas/openapi.json from the table of operations; with `--check` only says whether it is up to date.
 *
 * node packages/service/dist/src/schemas/write-openapi.js [--check]
 */
import { mkdir, readFile, writeFile } from 'node:fs/promises'
import { fileURLToPath } from 'node:url'
import { openApiDocument } from '../http/openapi.ts'
import { operations } from '../http/operations.ts'
import { contractSchemas } from './contract-schemas.ts'

/** From the built file in packages/service/dist/src/schemas to the root of the project. */
const target = new URL('../../../../../schemas/openapi.json', import.meta.url)
const text = `${JSON.stringify(openApiDocument({ operations, contract: contractSchemas() }), null, 2)}\n`

if (process.argv.includes('--check')) await check()
else await write()

async function write(): Promise<void> {
  await mkdir(new URL('.', target), { recursive: true })
  await writeFile(target, text)
  process.stdout.write(`${fileURLToPath(target)} written\n`)
}

async function check(): Promise<void> {
  const committed = await readFile(target, 'utf8').catch(() => undefined)
  if (committed === text) return
  const state = committed === undefined ? 'is missing' : 'differs from the operations'
  process.stderr.write(`schemas/openapi.json ${state}. Run: npm run schemas, look at the difference, and commit it.\n`)
  process.exitCode = 1
}
