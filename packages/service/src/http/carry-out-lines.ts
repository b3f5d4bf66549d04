/** The way of a body of lines through an operation: each line is carried out and answered by itself. */
import { type Answer, caching, textBytes } from './answer.ts'
import { type BodyLine, readBodyLines } from './body-lines.ts'
import { digestOf, draining, type Gate, type Head, type Incoming, parseBody, readBody, readHead } from './carry-out.ts'
import { refusalOfThrown } from './failure.ts'
import { refuseMediaType } from './media-type.ts'
import type { BodyFormat, Operation } from './operation.ts'
import { isRefusal, problemAnswer, type Refusal, refuse } from './problem.ts'

/** A body of lines under way. */
interface Batch {
  readonly operation: Operation
  /** How one line is read. */
  readonly format: BodyFormat<unknown>
  /** Member of a line's answer that holds the body of a success. */
  readonly member: string
  readonly head: Head
  readonly incoming: Incoming
  readonly gate: Gate
}

/**
 * Carries out a request whose body is NDJSON.
 *
 * Each line is answered by one line, in the same order, and a last one says how many there were: whoever misses it knows
 * that the answer broke off. The lines are carried out one after the other, and the next one is read when the answer to
 * the one before has been taken: a caller who does not read is not read from, and the memory needed does not grow with
 * the number of lines. A line that is refused, or fails, is no reason to stop.
 */
export async function carryOutLines(operation: Operation, incoming: Incoming, gate: Gate): Promise<Answer | Refusal> {
  const { body: format, eachLine: member } = operation
  if (format === null || member === undefined) throw new TypeError(`${operation.id} takes no lines`)
  const head = await readHead(operation, incoming, gate)
  if (isRefusal(head)) return head
  const refusedType = refuseMediaType(incoming.request.headers, 'application/x-ndjson')
  if (refusedType !== undefined) return refusedType

  const stream = pulledFrom(answerLines({ operation, format, member, head, incoming, gate }))
  const headers = { 'content-type': 'application/x-ndjson', 'cache-control': caching.none }
  return { status: 200, headers, body: null, stream }
}

/** A stream that makes its next piece when it is asked for it. */
function pulledFrom(pieces: AsyncGenerator<Uint8Array<ArrayBuffer>, void, undefined>) {
  return new ReadableStream<Uint8Array<ArrayBuffer>>(
    {
      pull: async (controller) => {
        const { done, value } = await pieces.next()
        if (done) controller.close()
        else controller.enqueue(value)
      },
      cancel: async () => {
        await pieces.return()
      },
    },
    { highWaterMark: 0 },
  )
}

async function* answerLines(batch: Batch): AsyncGenerator<Uint8Array<ArrayBuffer>, void, undefined> {
  const { incoming, gate } = batch
  let count = 0
  for await (const line of readBodyLines(incoming.request.body, gate.bodyLimit, gate.budget)) {
    count += 1
    try {
      yield await answerLine(batch, line)
    } finally {
      line.release()
    }
  }
  yield textBytes(`${JSON.stringify({ end: true, lines: count })}\n`)
}

async function answerLine(batch: Batch, { number, content }: BodyLine): Promise<Uint8Array<ArrayBuffer>> {
  const { key, outcome } = isRefusal(content) ? { key: null, outcome: content } : await outcomeOf(batch, content)
  const isRefused = isRefusal(outcome)
  const { status, headers, body } = isRefused ? problemAnswer(outcome, batch.incoming.requestId) : outcome
  const retryAfter = headers['retry-after']
  const place = {
    line: number,
    key,
    status,
    ...(retryAfter === undefined ? {} : { retryAfter: Number(retryAfter) }),
    ...(isRefused ? {} : { replayed: headers['idempotency-replayed'] === 'true' }),
  }
  const member = isRefused ? 'problem' : batch.member
  const before = textBytes(`${JSON.stringify(place).slice(0, -1)},"${member}":`)
  return new Uint8Array(Buffer.concat([before, body ?? textBytes('null'), textBytes('}\n')]))
}

interface LineOutcome {
  /** The key that the line gives; null where none can be read. */
  readonly key: string | null
  readonly outcome: Answer | Refusal
}

/** What becomes of a line. A failure concerns this line only. */
async function outcomeOf(batch: Batch, content: Uint8Array): Promise<LineOutcome> {
  const { service, slots } = batch.gate
  if (service.isDraining()) return { key: null, outcome: draining() }
  const leave = await slots.enter()
  if (leave === undefined) return { key: null, outcome: tooManyWaiting() }
  try {
    const parsed = parseBody(content)
    if (isRefusal(parsed)) return { key: null, outcome: parsed }
    return { key: keyIn(parsed.value), outcome: await carriedOut(batch, parsed.value, content) }
  } finally {
    leave()
  }
}

async function carriedOut(batch: Batch, value: unknown, content: Uint8Array): Promise<Answer | Refusal> {
  const { operation, format, head, incoming, gate } = batch
  try {
    const body = readBody(format, value)
    if (isRefusal(body)) return body
    const digest = () => digestOf(incoming.request, content)
    return await operation.handle({ ...head, body: body.body, digest }, gate.service)
  } catch (thrown) {
    incoming.onFailure(thrown)
    return refusalOfThrown(thrown)
  }
}

function keyIn(value: unknown): string | null {
  const key = typeof value === 'object' && value !== null && 'key' in value ? value.key : null
  return typeof key === 'string' ? key.slice(0, LONGEST_KEY) : null
}

const LONGEST_KEY = 255

function tooManyWaiting(): Refusal {
  return refuse('ERR_BUSY', 'Too many requests are waiting.', { headers: { 'retry-after': '1' } })
}
