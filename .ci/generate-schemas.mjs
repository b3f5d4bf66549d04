/**
 * Writes schemas/*.schema.json from the built contract; with --check only says whether they are up to date.
 *
 * node .ci/generate-schemas.mjs           writes the files
 * node .ci/generate-schemas.mjs --check   exit 1 and the names of the files that differ
 */
import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises'
import { contractDocs } from '../packages/sdk/dist/contract/contract-docs.js'
import { jsonSchemas } from '../packages/sdk/dist/contract/json-schema.js'

const contract = new URL('../packages/sdk/src/contract/', import.meta.url)
const target = new URL('../schemas/', import.meta.url)

const sources = (await readdir(contract)).filter((name) => name.endsWith('.ts')).sort()
const docs = contractDocs(await Promise.all(sources.map((name) => readFile(new URL(name, contract), 'utf8'))))
const files = Object.entries(jsonSchemas(docs)).map(([name, schema]) => ({
  name: `${name}.schema.json`,
  text: `${JSON.stringify(schema, null, 2)}\n`,
}))

if (process.argv.includes('--check')) await check()
else await write()

async function write() {
  await mkdir(target, { recursive: true })
  await Promise.all(files.map(({ name, text }) => writeFile(new URL(name, target), text)))
  console.log(`schemas/: ${files.length} files written`)
}

async function check() {
  const stale = []
  for (const { name, text } of files) {
    const committed = await readFile(new URL(name, target), 'utf8').catch(() => undefined)
    if (committed !== text)
      stale.push(`schemas/${name} ${committed === undefined ? 'is missing' : 'differs from the contract'}`)
  }
  const known = new Set(files.map(({ name }) => name))
  for (const name of await readdir(target).catch(() => [])) {
    if (name.endsWith('.schema.json') && !known.has(name))
      stale.push(`schemas/${name} belongs to no document of the contract`)
  }
  if (stale.length === 0) {
    console.log(`schemas/: ${files.length} files are up to date`)
    return
  }
  console.error(`${stale.join('\n')}\nRun: node .ci/generate-schemas.mjs, look at the difference, and commit it.`)
  process.exitCode = 1
}
