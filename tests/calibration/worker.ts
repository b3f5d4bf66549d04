/** One worker: scores ranges of seeds and sends the sums back. */
import { parentPort } from 'node:worker_threads'
import { assess } from '@fairpull/sdk/engine'
import { studies } from './studies.ts'
import { scoreCell } from './study.ts'
import type { Answer, Task } from './worker-pool.ts'

async function answerTo(task: Task): Promise<Answer> {
  const { study, cell, from, to } = task
  const found = studies.find(({ id }) => id === study)?.cells.find(({ id }) => id === cell)
  if (found === undefined) throw new RangeError(`no cell ${cell} in study ${study}`)
  return { ...task, tally: await scoreCell(found, { from, to }, assess) }
}

parentPort?.on('message', async (task: Task) => {
  parentPort?.postMessage(await answerTo(task))
})
