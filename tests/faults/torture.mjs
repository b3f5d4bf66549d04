/**
 * The faults at length: node tests/faults/torture.mjs [--kills 500] [--posts 10000] [--keys 1000] [--replica-kills 50]
 * [--only NAME]
 *
 * Runs every file, or the one named, of this folder one after the other with these figures, and writes what came of it to RESULTS.md. Exit code 1 when
 * anything failed.
 */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { cpus, tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'

const here = fileURLToPath(new URL('.', import.meta.url))
const { values } = parseArgs({
  options: {
    kills: { type: 'string', default: '500' },
    posts: { type: 'string', default: '10000' },
    keys: { type: 'string', default: '1000' },
    'replica-kills': { type: 'string', default: '50' },
    only: { type: 'string' },
  },
})
const figures = {
  KILLS: values.kills,
  POSTS: values.posts,
  KEYS: values.keys,
  REPLICA_KILLS: values['replica-kills'],
}

const scratch = mkdtempSync(join(tmpdir(), 'fairpull-torture-'))
const files = readdirSync(here)
  .filter((name) => name.endsWith('.test.ts'))
  .filter((name) => values.only === undefined || name === `${values.only}.test.ts`)
const rows = files.flatMap((name) => resultsOf(name))
rmSync(scratch, { recursive: true })
writeFileSync(join(here, 'RESULTS.md'), page(rows))
process.stdout.write(page(rows))
process.exitCode = rows.length > 0 && rows.every(({ status }) => status === 'passed') ? 0 : 1

function resultsOf(name) {
  const output = join(scratch, `${name}.json`)
  spawnSync('npx', ['vitest', 'run', `faults/${name}`, '--reporter=json', `--outputFile=${output}`], {
    cwd: join(here, '..'),
    env: { ...process.env, ...figures },
    stdio: ['ignore', 'inherit', 'inherit'],
  })
  const { testResults } = JSON.parse(readFileSync(output, 'utf8'))
  return testResults.flatMap(({ assertionResults }) =>
    assertionResults.map(({ fullName, status, duration }) => ({ name, fullName, status, duration })),
  )
}

function page(results) {
  const lines = results.map(
    ({ name, fullName, status, duration }) =>
      `| ${name.replace('.test.ts', '')} | ${fullName.trim()} | ${status} | ${((duration ?? 0) / 1000).toFixed(1)} |`,
  )
  return `# Faults at length

Written by \`npm run torture\` on ${new Date().toISOString().slice(0, 10)}; Node ${process.version}, ${cpus().length} processors.
${values.only === undefined ? '' : `Only the file ${values.only} was run. `}Figures: ${Object.entries(figures)
    .map(([figure, value]) => `${figure} ${value}`)
    .join(', ')}.

| file | what holds | came out | s |
|---|---|---|---|
${lines.join('\n')}
`
}
