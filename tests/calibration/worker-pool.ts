/** Spreads tasks over worker threads. */
import { Worker } from 'node:worker_threads'
import type { Tally } from './study.ts'

/** Seeds of one cell to score. */
export interface Task {
  readonly study: string
  readonly cell: string
  readonly from: number
  readonly to: number
}

/** Sums of one task. */
export interface Answer extends Task {
  readonly tally: Tally
}

/**
 * Runs all tasks on a number of workers, each taking the next task when it is free.
 *
 * @param onAnswer called for each answer, in the order they come; the sums do not depend on it.
 */
export async function runTasks(
  tasks: readonly Task[],
  workers: number,
  onAnswer: (answer: Answer, done: number) => void,
): Promise<void> {
  let next = 0
  let done = 0
  const runOne = (worker: Worker) =>
    new Promise<void>((resolve, reject) => {
      const give = () => {
        const task = tasks[next]
        next += 1
        if (task === undefined) resolve()
        else worker.postMessage(task)
      }
      worker.on('message', (answer: Answer) => {
        done += 1
        onAnswer(answer, done)
        give()
      })
      worker.on('error', reject)
      give()
    })
  const pool = Array.from({ length: workers }, () => new Worker(new URL('./worker.js', import.meta.url)))
  try {
    await Promise.all(pool.map(runOne))
  } finally {
    await Promise.all(pool.map((worker) => worker.terminate()))
  }
}
