import type { BodyLease } from './body-budget.ts'
import { type Refusal, refuse } from './problem.ts'

/**
 * The bytes of a request body, never more than `limit` of them.
 *
 * A body that declares to be larger is refused before its first byte, any other as soon as it is. Every byte that waits
 * in memory is counted in `lease` as it arrives; what a caller only promises to send costs nothing.
 */
export async function readRequestBody(
  request: Request,
  limit: number,
  lease: BodyLease,
): Promise<Uint8Array | Refusal> {
  const declared = request.headers.get('content-length')
  if (declared !== null && Number(declared) > limit) return tooLarge(limit)
  if (request.body === null) return new Uint8Array(0)

  const reader = request.body.getReader()
  const chunks: Uint8Array[] = []
  let length = 0
  try {
    for (;;) {
      const { done, value } = await reader.read()
      if (done) return Buffer.concat(chunks, length)
      length += value.byteLength
      if (length > limit) return tooLarge(limit)
      if (!lease.take(value.byteLength)) return refuse('ERR_BUSY', 'Too many bodies are arriving at once.', RETRY_SOON)
      chunks.push(value)
    }
  } catch {
    return refuse('ERR_REQUEST_MALFORMED', 'The connection ended before the body did.')
  } finally {
    reader.releaseLock()
  }
}

const RETRY_SOON = { headers: { 'retry-after': '1' } }

/** The refusal of a body, or of one line of it, above `limit` bytes. */
export function tooLarge(limit: number): Refusal {
  return refuse(
    'ERR_BODY_TOO_LARGE',
    `The body is larger than the ${limit} bytes that this service takes. Send channels as base64 of float64, send fewer ` +
      'samples (100 a second are plenty), or ask the operator for a larger limit.',
  )
}
