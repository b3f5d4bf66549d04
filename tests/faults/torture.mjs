/**
 * The faults at length: node tests/faults/torture.mjs [--kills 500] [--posts 10000] [--keys 1000] [--replica-kills 50]
 * [--drains 50] [--only NAME]
 *
 * Runs every file, or the one named, of this folder one after the other with these figures, and writes what came of it to
 * RESULTS.md, beside the figures that it is meant to be run with. Exit code 1 when anything failed.
 */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { cpus, tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'

const here = fileURLToPath(new URL('.', import.meta.url))
const atLength = { kills: '500', posts: '10000', keys: '1000', 'replica-kills': '50', drains: '50' }
const { values } = parseArgs({
  options: {
    ...Object.fromEntries(
      Object.entries(atLength).map(([name, figure]) => [name, { type: 'string', default: figure }]),
    ),
    only: { type: 'string' },
  },
})
const figures = Object.fromEntries(
  Object.keys(atLength).map((name) => [name.replaceAll('-', '_').toUpperCase(), values[name]]),
)
/** What a result is called; a machine may lack what a fault needs, such as the right to mount a small disk. */
const outcomes = {
  passed: 'passed',
  failed: 'failed',
  pending: 'not run: this machine does not allow it',
  skipped: 'not run: this machine does not allow it',
}

const scratch = mkdtempSync(join(tmpdir(), 'fairpull-torture-'))
const files = readdirSync(here)
  .filter((name) => name.endsWith('.test.ts'))
  .filter((name) => values.only === undefined || name === `${values.only}.test.ts`)
const rows = files.flatMap((name) => resultsOf(name))
rmSync(scratch, { recursive: true })
writeFileSync(join(here, 'RESULTS.md'), page(rows))
process.stdout.write(page(rows))
process.exitCode = rows.length > 0 && rows.every(({ status }) => !status.startsWith('failed')) ? 0 : 1

function resultsOf(name) {
  const output = join(scratch, `${name}.json`)
  spawnSync('npx', ['vitest', 'run', `faults/${name}`, '--reporter=json', `--outputFile=${output}`], {
    cwd: join(here, '..'),
    env: { ...process.env, ...figures },
    stdio: ['ignore', 'inherit', 'inherit'],
  })
  const { testResults } = JSON.parse(readFileSync(output, 'utf8'))
  return testResults.flatMap(({ assertionResults }) =>
    assertionResults.map(({ fullName, status, duration, failureMessages }) => {
      const reason = failureMessages?.[0]?.split('\n')[0].replaceAll('|', '/')
      return { name, fullName, status: reason === undefined ? status : `${status}: ${reason}`, duration }
    }),
  )
}

function page(results) {
  const lines = results.map(
    ({ name, fullName, status, duration }) =>
      `| ${name.replace('.test.ts', '')} | ${fullName.trim()} | ${outcomes[status] ?? status} | ${((duration ?? 0) / 1000).toFixed(1)} |`,
  )
  return `# Faults at length

Written by \`npm run torture\` on ${new Date().toISOString().slice(0, 10)}; Node ${process.version}, ${cpus().length} processors.
${values.only === undefined ? '' : `Only the file ${values.only} was run. `}

| figure | here | at length |
|---|---|---|
${Object.keys(atLength)
  .map((name) => `| ${name} | ${values[name]} | ${atLength[name]} |`)
  .join('\n')}

Kills are per store: the service's own database, and a database server. In half of them the database is killed as well.

| file | what holds | came out | s |
|---|---|---|---|
${lines.join('\n')}
`
}
