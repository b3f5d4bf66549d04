import type { Reporter, TestModule } from 'vitest/node'
import type { ComparedValue, Provenance } from './published.ts'

type Counts = Record<Provenance, number>

/** Families of cryptographic values are named so; the rest is counted apart. */
const cryptographic = /^crypto-/

function comparedIn(modules: readonly TestModule[]): ReadonlyMap<string, ComparedValue> {
  const byId = new Map<string, ComparedValue>()
  for (const module of modules) {
    for (const testCase of module.children.allTests('passed')) {
      for (const value of testCase.meta().published ?? []) byId.set(`${value.family} ${value.id}`, value)
    }
  }
  return byId
}

function countByFamily(values: Iterable<ComparedValue>): ReadonlyMap<string, Counts> {
  const families = new Map<string, Counts>()
  for (const { family, status } of values) {
    const counts = families.get(family) ?? { FOUND: 0, COMPUTED: 0, MEMORY: 0 }
    families.set(family, { ...counts, [status]: counts[status] + 1 })
  }
  return new Map([...families].toSorted(([a], [b]) => (a < b ? -1 : 1)))
}

function sum(rows: readonly Counts[]): Counts {
  const add = (status: Provenance) => rows.reduce((total, counts) => total + counts[status], 0)
  return { FOUND: add('FOUND'), COMPUTED: add('COMPUTED'), MEMORY: add('MEMORY') }
}

function line(family: string, { FOUND, COMPUTED, MEMORY }: Counts): string {
  const cells = [FOUND, COMPUTED, MEMORY, FOUND + COMPUTED + MEMORY].map((count) => String(count).padStart(10))
  return `  ${family.padEnd(34)}${cells.join('')}`
}

/** The table of published values: one row per family, found, computed, memory. */
export function publishedTable(values: Iterable<ComparedValue>): string {
  const families = [...countByFamily(values)]
  const outside = families.filter(([family]) => !cryptographic.test(family)).map(([, counts]) => counts)
  const head = ['found', 'computed', 'memory', 'all'].map((word) => word.padStart(10)).join('')
  return [
    `  ${'published values compared'.padEnd(34)}${head}`,
    ...families.map(([family, counts]) => line(family, counts)),
    line('outside cryptography', sum(outside)),
    line('all', sum(families.map(([, counts]) => counts))),
    '  found: read in the named source. memory: recalled, no source read. computed: from a stated formula, with an',
    '  independent library; a computed value tests the code, not the formula.',
  ].join('\n')
}

/** Prints, at the end of a run, how many published values its passing tests compared, and which tests were not run. */
export class PublishedTable implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const values = comparedIn(modules)
    if (values.size > 0) console.log(`\n${publishedTable(values.values())}\n`)

    const notRun = modules.flatMap((module) =>
      [...module.children.allSuites()].map(({ name }) => name).filter((name) => name.startsWith('NOT RUN')),
    )
    for (const name of notRun) console.log(`  ${name}`)
  }
}
