/** The parts of the bench, and the page that they write. */
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { root } from '../support/source-files.ts'
import { clientBench } from './client.ts'
import { engineBench } from './engine.ts'
import { httpBench } from './http.ts'
import { machineFacts } from './machine.ts'
import { type Section, withSection } from './results-page.ts'

const parts: Readonly<Record<string, () => Promise<Section>>> = {
  engine: engineBench,
  http: httpBench,
  client: clientBench,
}

const page = join(root, 'tests/bench/RESULTS.md')

/** Runs the parts named, or all, and writes their sections. @returns the exit code. */
export async function main(names: readonly string[]): Promise<number> {
  const chosen = names.length === 0 ? Object.keys(parts) : names
  const unknown = chosen.filter((name) => !(name in parts))
  if (unknown.length > 0) {
    console.error(`No such part: ${unknown.join(', ')}. There are ${Object.keys(parts).join(', ')}.`)
    return 1
  }
  for (const name of chosen) {
    const facts = machineFacts()
    const section = await parts[name]?.()
    if (section === undefined) continue
    const text = withSection(readFileSync(page, 'utf8'), name, { ...section, facts })
    writeFileSync(page, text)
    console.log(`${name}: ${section.rows.map(({ what, figure }) => `${what}: ${figure}`).join('\n        ')}`)
  }
  return 0
}
