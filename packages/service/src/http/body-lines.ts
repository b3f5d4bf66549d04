/** Bodies of lines, read one line at a time. */
import type { BodyBudget, BodyLease } from './body-budget.ts'
import { type Refusal, refuse } from './problem.ts'
import { tooLarge } from './request-body.ts'

/** One line of a body that is not blank. */
export interface BodyLine {
  /** Its number in the body, blank lines counted. [1], from 1 */
  readonly number: number
  /** Its bytes without the line feed, or why it is not taken. */
  readonly content: Uint8Array | Refusal
  /** Gives back the room that its bytes take. */
  readonly release: () => void
}

const LINE_FEED = 0x0a
const RETRY_SOON = { headers: { 'retry-after': '1' } }

/**
 * The lines of a body, in order. The next one is read when it is asked for, so that a body waits in the network and not
 * in memory: never more is held than the line at hand and the piece of the network it ends in.
 *
 * A line above `limit` bytes, or one there is no room for, is read past, and yields a refusal in its place. A connection
 * that breaks yields one last refusal.
 */
export async function* readBodyLines(
  body: ReadableStream<Uint8Array> | null,
  limit: number,
  budget: BodyBudget,
): AsyncGenerator<BodyLine, void, undefined> {
  const reader = body?.getReader()
  let number = 1
  let line = openLine(limit, budget.open())
  try {
    for (let piece = await reader?.read(); piece?.done === false; piece = await reader?.read()) {
      let rest = piece.value
      for (let end = rest.indexOf(LINE_FEED); end >= 0; end = rest.indexOf(LINE_FEED)) {
        line.add(rest.subarray(0, end))
        rest = rest.subarray(end + 1)
        if (!line.isBlank()) yield { number, ...line.close() }
        number += 1
        line = openLine(limit, budget.open())
      }
      line.add(rest)
    }
    if (!line.isBlank()) yield { number, ...line.close() }
  } catch {
    yield { number, content: brokenOff(), release: () => line.close().release() }
  } finally {
    line.close().release()
    void reader?.cancel().catch(() => undefined)
  }
}

interface OpenLine {
  readonly add: (bytes: Uint8Array) => void
  readonly isBlank: () => boolean
  readonly close: () => Pick<BodyLine, 'content' | 'release'>
}

function openLine(limit: number, lease: BodyLease): OpenLine {
  const pieces: Uint8Array[] = []
  let length = 0
  let refusal: Refusal | undefined
  const drop = (why: Refusal) => {
    refusal = why
    pieces.length = 0
    lease.release()
  }
  return {
    add: (bytes) => {
      if (refusal !== undefined || bytes.length === 0) return
      length += bytes.length
      if (length > limit) drop(tooLarge(limit))
      else if (!lease.take(bytes.length)) drop(refuse('ERR_BUSY', 'Too many bodies are arriving at once.', RETRY_SOON))
      else pieces.push(bytes)
    },
    isBlank: () => refusal === undefined && pieces.every((piece) => piece.every(isWhitespace)),
    close: () => ({ content: refusal ?? Buffer.concat(pieces), release: lease.release }),
  }
}

/** RFC 8259 §2. */
function isWhitespace(byte: number): boolean {
  return byte === 0x20 || byte === 0x09 || byte === 0x0d
}

function brokenOff(): Refusal {
  return refuse('ERR_REQUEST_MALFORMED', 'The connection ended before the body did.')
}
