/** Answers of a long calibration, kept as they come, so that a run of hours can be stopped and taken up again. */
import { createHash } from 'node:crypto'
import { appendFileSync, existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Answer, Task } from './worker-pool.ts'

/** Built code that decides what an answer is: the engine, what it judges, the simulator and the studies. */
const DECIDING = [
  ...['engine', 'contract', 'testing'].map(
    (folder) => new URL(`../${folder}/`, import.meta.resolve('@fairpull/sdk/engine')),
  ),
  new URL('./', import.meta.url),
].map((url) => fileURLToPath(url))

/** A file of answers. */
export interface KeptAnswers {
  /** What was answered before. */
  readonly answered: readonly Answer[]
  /** Adds one. */
  readonly keep: (answer: Answer) => void
}

/**
 * Opens a file of answers, or begins one.
 *
 * @throws Error when the file is of another engine, simulator or set of studies: sums of two engines say nothing of either.
 */
export function keptAnswers(path: string): KeptAnswers {
  const code = digestOfCode()
  if (!existsSync(path)) writeFileSync(path, `${JSON.stringify({ code })}\n`)
  // A process that was killed may have left half a line, which is a task to do again.
  const lines = readFileSync(path, 'utf8').split('\n').slice(0, -1)
  const [head, ...answered] = lines.map((line) => JSON.parse(line))
  if (head?.code !== code) throw new Error(`${path} holds answers of other code: remove it, or name another file`)
  writeFileSync(path, `${lines.join('\n')}\n`)
  return { answered, keep: (answer) => appendFileSync(path, `${JSON.stringify(answer)}\n`) }
}

/** A task by its name. */
export function taskName({ study, cell, from, to }: Task): string {
  return [study, cell, from, to].join(' · ')
}

function digestOfCode(): string {
  const hash = createHash('sha256')
  for (const folder of DECIDING) {
    const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.js'))
    for (const name of files.sort()) hash.update(name).update(readFileSync(join(folder, name)))
  }
  return hash.digest('hex')
}
