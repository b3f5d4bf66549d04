/** S7 and the memory of batches: what bodies do to the process that reads them. */
import { randomUUID } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import { setTimeout as pause } from 'node:timers/promises'
import { twoFigures } from '@fairpull/sdk/testing'
import { against, type Row } from './results-page.ts'
import type { BenchService } from './servers.ts'

const BODY_LIMIT = 2 * 1024 * 1024
const AT_ONCE = 32
const REQUESTS = 320
const MOST_GROWTH_MB = 150
const MOST_DELAY_MS = 200

/** Bodies just below the limit that cost as much as a body can, and one far above it. */
const bodies: readonly string[] = [
  `{"runs":[${'[],'.repeat(BODY_LIMIT / 3 - 10)}[]]}`,
  `{"runs":[${'1.5e-7,'.repeat(BODY_LIMIT / 7 - 4)}1]}`,
  '['.repeat(BODY_LIMIT - 1),
  `{${Array.from({ length: 120_000 }, (_, at) => `"member${at}":0`).join(',')}}`,
  `{"protocol":"${'\\u0041'.repeat(BODY_LIMIT / 6 - 10)}"}`,
  `{"protocol":"${'x'.repeat(8 * BODY_LIMIT)}"}`,
]

/** Sends hostile bodies from many clients at once, and reads memory and event-loop delay meanwhile. */
export async function hostileBodies(service: BenchService): Promise<readonly Row[]> {
  const { process, apiKey } = service
  const headers = { authorization: `Bearer ${apiKey}`, 'content-type': 'application/json' }
  await delayOf(service)
  const start = await residentMb(process.pid)
  let [isOver, largest, delay, unanswered, accepted, sent] = [false, start, 0, 0, 0, 0]
  const watch = async () => {
    while (!isOver) {
      largest = Math.max(largest, await residentMb(process.pid))
      const reading = await delayOf(service)
      if (reading === null) unanswered += 1
      else delay = Math.max(delay, reading)
      await pause(250)
    }
  }
  const client = async () => {
    while (sent < REQUESTS) {
      const body = bodies[sent % bodies.length] ?? ''
      sent += 1
      // A body above the limit may be cut off before it was sent to its end.
      const response = await fetch(`${process.url}/v1/assessments`, { method: 'POST', headers, body }).catch(() => null)
      if (response?.ok === true) accepted += 1
      await response?.arrayBuffer()
    }
  }
  const watching = watch()
  await Promise.all(Array.from({ length: AT_ONCE }, client))
  isOver = true
  await watching
  const growth = largest - start
  const told = accepted === 0 ? '' : `; ${accepted} were accepted`
  return [
    {
      what: `RSS under ${REQUESTS} hostile bodies of up to ${(8 * BODY_LIMIT) / 2 ** 20} MiB, ${AT_ONCE} at once`,
      figure: `${start.toFixed(0)} MB, at most ${largest.toFixed(0)} MB: + ${growth.toFixed(0)} MB${told}`,
      target: against(`S7 ≤ start + ${MOST_GROWTH_MB} MB`, growth <= MOST_GROWTH_MB && accepted === 0),
    },
    {
      what: 'event-loop delay p99 meanwhile',
      figure: `${delay.toFixed(0)} ms${unanswered === 0 ? '' : `; ${unanswered} readings were answered by a refusal`}`,
      target: against(`S7 ≤ ${MOST_DELAY_MS} ms`, delay <= MOST_DELAY_MS && unanswered === 0),
    },
  ]
}

const [FEW, MANY] = [20, 320]

/** Memory of a batch, and of one with sixteen times as many comparisons. */
export async function batchMemory({ process, apiKey }: BenchService): Promise<readonly Row[]> {
  const headers = { authorization: `Bearer ${apiKey}`, 'content-type': 'application/x-ndjson' }
  const peak = async (lines: number) => {
    const body = Array.from(
      { length: lines },
      () => `${JSON.stringify({ key: randomUUID(), comparison: twoFigures })}\n`,
    )
    let [largest, isOver] = [0, false]
    const watch = (async () => {
      while (!isOver) {
        largest = Math.max(largest, await residentMb(process.pid))
        await pause(50)
      }
    })()
    const answer = await fetch(`${process.url}/v1/batches`, { method: 'POST', headers, body: body.join('') })
      .then((response) => response.text())
      .catch((error: unknown) => String(error))
    isOver = true
    await watch
    const answered = answer.split('\n').filter((each) => each.includes('"summary"')).length
    if (answered < lines) throw new Error(`${answered} of ${lines} were answered, the last: ${answer.slice(-200)}`)
    return largest
  }
  const what = `largest RSS in a batch of ${FEW} and of ${MANY} comparisons`
  const target = 'F5 flat (≤ 1.25 ×)'
  const peaks: number[] = []
  try {
    for (const lines of [FEW, FEW, MANY]) peaks.push(await peak(lines))
  } catch (error) {
    return [{ what, figure: `broke off: ${String(error)}`, target: against(target, false) }]
  }
  const [, few = Number.NaN, many = Number.NaN] = peaks
  return [
    {
      what,
      figure: `${few.toFixed(0)} MB and ${many.toFixed(0)} MB: ${(many / few).toFixed(2)} × for ${MANY / FEW} × as many`,
      target: against(target, many <= 1.25 * few),
    },
  ]
}

/** Resident memory of a process. [MB] */
async function residentMb(pid: number): Promise<number> {
  const status = await readFile(`/proc/${pid}/status`, 'utf8')
  return Number(/VmRSS:\s+(\d+) kB/.exec(status)?.[1]) / 1000
}

/** Event-loop delay p99 of the service since the last reading; null where it refuses to say. [ms] */
async function delayOf({ process, apiKey }: BenchService): Promise<number | null> {
  const response = await fetch(`${process.url}/metrics`, { headers: { authorization: `Bearer ${apiKey}` } })
  const text = await response.text()
  if (response.status === 503) return null
  const seconds = /^nodejs_eventloop_lag_p99_seconds (\S+)$/m.exec(text)?.[1]
  if (seconds === undefined) throw new Error(`there is no event-loop delay in the metrics: ${text.slice(0, 200)}`)
  return 1000 * Number(seconds)
}
