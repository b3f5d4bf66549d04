/**
 * Scores the engine on simulated sessions and writes RESULTS.md.
 *
 * `node dist/calibrate.js [--full] [--study ID] [--sessions ID=N] [--workers N] [--keep FILE] [--out FILE]`. `--sessions` sets how
 * many sessions a study has in each cell, where the time for all of them is not at hand; the page says how it was made. `--keep`
 * keeps every answer in a file as it comes and takes up from there: the full run is one of hours.
 */
import { writeFile } from 'node:fs/promises'
import { availableParallelism } from 'node:os'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { keptAnswers, taskName } from './kept-answers.ts'
import { resultsPage } from './results-page.ts'
import { studies } from './studies.ts'
import { added, type RunSize, type Study, type Tally } from './study.ts'
import { type Answer, runTasks, type Task } from './worker-pool.ts'

/** Sessions in one task: enough to keep the workers busy, few enough to share them out evenly. */
const SESSIONS_PER_TASK = 50

const { values: options } = parseArgs({
  options: {
    full: { type: 'boolean', default: false },
    study: { type: 'string', multiple: true },
    sessions: { type: 'string', multiple: true, default: [] },
    workers: { type: 'string' },
    keep: { type: 'string' },
    out: { type: 'string' },
  },
})

const size: RunSize = options.full ? 'full' : 'default'
const asked = new Map(options.sessions.map(sessionsOf))
const chosen = studies.filter(({ id }) => options.study === undefined || options.study.includes(id))
const tasks = chosen.flatMap((study) => tasksOf(study))
const tallies = new Map(chosen.map(({ id }) => [id, new Map<string, Tally>()]))
const started_ms = Date.now()

const kept = options.keep === undefined ? undefined : keptAnswers(options.keep)
const names = new Set(tasks.map(taskName))
const earlier = (kept?.answered ?? []).filter((answer) => names.has(taskName(answer)))
const answered = new Set(earlier.map(taskName))
const open = tasks.filter((task) => !answered.has(taskName(task)))
earlier.forEach(count)
await runTasks(open, Number(options.workers ?? availableParallelism()), (answer, done) => {
  kept?.keep(answer)
  count(answer)
  if (done % 20 === 0 || done === open.length) progress(done)
})

const out = options.out ?? fileURLToPath(new URL('../RESULTS.md', import.meta.url))
await writeFile(out, resultsPage(chosen, tallies, { command: commandLine(), sessionsOf: countFor }))
console.log(`\nwritten: ${out}`)

function count({ study, cell, tally }: Answer): void {
  const cells = tallies.get(study)
  cells?.set(cell, added(cells.get(cell) ?? {}, tally))
}

/** Sessions in each cell of a study. */
function countFor(study: Study): number {
  return asked.get(study.id) ?? study.sessions[size]
}

function tasksOf(study: Study): readonly Task[] {
  const sessions = countFor(study)
  return study.cells.flatMap(({ id }) =>
    Array.from({ length: Math.ceil(sessions / SESSIONS_PER_TASK) }, (_, k) => ({
      study: study.id,
      cell: id,
      from: 1 + k * SESSIONS_PER_TASK,
      to: 1 + Math.min(sessions, (k + 1) * SESSIONS_PER_TASK),
    })),
  )
}

/** `coverage=400` as study and number. */
function sessionsOf(text: string): readonly [string, number] {
  const [id = '', count = ''] = text.split('=')
  if (studies.some((study) => study.id === id) && /^[1-9]\d*$/.test(count)) return [id, Number(count)]
  throw new RangeError(`--sessions ${text}: give ID=N, ID one of ${studies.map((study) => study.id).join(', ')}`)
}

/** How this page was asked for, as somebody would ask for it again. */
function commandLine(): string {
  const given = [...(options.full ? ['--full'] : []), ...options.sessions.map((each) => `--sessions ${each}`)]
  return ['npm run calibrate', ...(given.length === 0 ? [] : ['--', ...given])].join(' ')
}

function progress(done: number): void {
  const minutes = (Date.now() - started_ms) / 60_000
  process.stdout.write(`\r${done} of ${open.length} tasks, ${minutes.toFixed(1)} min `)
}
