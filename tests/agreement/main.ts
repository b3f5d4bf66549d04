/** Simulated sessions, judged by the engine and by the method in numpy. */
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { assess } from '@fairpull/sdk/engine'
import { root } from '../support/source-files.ts'
import { type Compared, compared } from './compared.ts'
import { type DrawnComparison, drawnComparison } from './drawn-comparison.ts'
import { methodSession } from './method-session.ts'
import { judgedInNumpy } from './numpy.ts'

const DEFAULT_SESSIONS = 600

/** Sessions that are handed over at once. */
const BATCH = 100

/** Differences that are written out. */
const MOST_SHOWN = 20

interface Found extends Compared {
  readonly drawn: DrawnComparison
}

/** Runs the comparison and writes the page. @returns the exit code: 1 where the two differ. */
export async function main(args: readonly string[]): Promise<number> {
  const { values } = parseArgs({ args: [...args], options: { sessions: { type: 'string' } } })
  const sessions = Number(values.sessions ?? DEFAULT_SESSIONS)
  if (!Number.isInteger(sessions) || sessions < 1) {
    console.error(`--sessions ${values.sessions}: give a whole number above 0`)
    return 1
  }
  const found: Found[] = []
  for (let first = 1; first <= sessions; first += BATCH) {
    const count = Math.min(BATCH, sessions + 1 - first)
    found.push(...(await batch(Array.from({ length: count }, (_, i) => drawnComparison(first + i)))))
  }
  const apart = found.filter(({ agrees }) => !agrees)
  const page = resultsPage(found, sessions)
  writeFileSync(join(root, 'tests/agreement/RESULTS.md'), page)
  console.log(page)
  for (const each of apart.slice(0, MOST_SHOWN)) {
    const { drawn, what, ours, theirs } = each
    console.log(`${drawn.seed} (${drawn.oddities.join(', ')}) ${what}: ${text(ours)} against ${text(theirs)}`)
  }
  return apart.length === 0 ? 0 : 1
}

async function batch(drawn: readonly DrawnComparison[]): Promise<readonly Found[]> {
  const answers = judgedInNumpy(drawn.map(({ comparison }) => methodSession(comparison)))
  const found = drawn.map(async (each, i) => {
    const answer = answers[i]
    if (answer === undefined) throw new RangeError('every session has an answer')
    return compared(await assess(each.comparison), answer.result).map((one) => ({ ...one, drawn: each }))
  })
  return (await Promise.all(found)).flat()
}

function text(value: unknown): string {
  return JSON.stringify(value)?.slice(0, 200) ?? 'nothing'
}

function resultsPage(found: readonly Found[], sessions: number): string {
  const kinds = [...new Set(found.map(({ what }) => what))]
  const rows = kinds.map((what) => {
    const all = found.filter((each) => each.what === what)
    return `| ${what} | ${all.length} | ${all.filter(({ agrees }) => !agrees).length} |`
  })
  return `# Agreement with the method written a second time

Written by \`npm run agreement -- --sessions ${sessions}\`; do not edit. numpy/ holds the method once more, in Python, written from the
text of the method and not from the engine, and checked with the same vectors. Here both judge the same ${sessions} simulated
sessions: ten designs, one to four runs a block, any facility record, one claim to eight, three samplings; three in ten with a
fault, and many with something missing: starts, mountings, humidity, engine temperatures, a run that was left out or is not
there.

| what | compared | apart |
|---|---|---|
${rows.join('\n')}

- Figures agree when they do to the 6 digits that a result prints; words when they are the same.
- Both get the same correction factors: those formulas have tests of their own. What counter, intake air and factor show is not
  compared; nor are the intervals of the summary while the order of the runs is in doubt, nor judgements while engine temperatures
  differ, where the protocol goes beyond the text.
`
}
