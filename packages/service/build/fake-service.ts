/**
 * Bundles the application over memory as the fake service of `@fairpull/sdk/testing`: the same code as the service, so that
 * the two cannot answer differently, without its database. What the SDK depends on anyway stays outside the bundle.
 */
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Plugin } from 'rolldown'

const here = dirname(fileURLToPath(import.meta.url))
const sdk = dirname(createRequire(import.meta.url).resolve('@fairpull/sdk/package.json'))
const folder = join(sdk, 'dist', 'testing')
const out = join(folder, 'memory-app.js')
const notices = join(folder, 'memory-app.licences.txt')

const OUTSIDE = [/^node:/, /^@fairpull\/sdk(\/|$)/, 'canonicalize', 'jose', 'jstat', 'yaml', 'zod']

/** There is no database in the fake; of its driver only the class of its errors is asked for, and none is ever thrown. */
const noDatabase: Plugin = {
  name: 'no-database',
  resolveId: (source) => (source === 'pg' ? '\0pg' : null),
  load: (id) => (id === '\0pg' ? 'export default { DatabaseError: class extends Error {} }' : null),
}

async function bundle(): Promise<void> {
  // Loaded only when there is something to do: every start of the service passes here.
  const { rolldown } = await import('rolldown')
  const bundled = await rolldown({
    input: join(here, '..', 'src', 'testing', 'memory-app.js'),
    platform: 'node',
    external: OUTSIDE,
    plugins: [noDatabase],
    treeshake: { moduleSideEffects: false },
  })
  const { output } = await bundled.generate({ format: 'esm', codeSplitting: false })
  await bundled.close()
  mkdirSync(folder, { recursive: true })
  writeFileSync(out, output[0].code)
  writeFileSync(notices, licencesOf(output[0].moduleIds))
}

/** The licence of every package that has a part in the bundle, in full. */
function licencesOf(modules: readonly string[]): string {
  const packages = new Set(modules.flatMap((path) => /^.*\/node_modules\/(?:@[^/]+\/)?[^/]+/.exec(path)?.[0] ?? []))
  return [...packages].sort().map(licenceIn).join('\n\n')
}

function licenceIn(path: string): string {
  const { name, version, license } = JSON.parse(readFileSync(join(path, 'package.json'), 'utf8'))
  const file = readdirSync(path).find((entry) => /^licen[cs]e/i.test(entry))
  const text =
    file === undefined
      ? `Licence: ${license}. The package carries no text of it.`
      : readFileSync(join(path, file), 'utf8').trim()
  return `${name} ${version}\n\n${text}\n`
}

/** Whether the bundle is younger than everything that was compiled. */
function isFresh(): boolean {
  if (!existsSync(out) || !existsSync(notices)) return false
  const made = statSync(out).mtimeMs
  return [join(here, '..', '.tsbuildinfo'), join(sdk, 'dist', '.tsbuildinfo')].every(
    (each) => statSync(each).mtimeMs < made,
  )
}

if (!isFresh()) await bundle()
