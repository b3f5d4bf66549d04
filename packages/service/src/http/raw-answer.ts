import { STATUS_CODES } from 'node:http'
import type { Socket } from 'node:net'
import type { Answer } from './answer.ts'

/**
 * Writes an answer to a connection whose request never became one, and closes it: what follows on it cannot be told
 * apart any more.
 */
export function writeRawAnswer(socket: Socket, { status, headers, body }: Answer): void {
  const fields = { ...headers, 'content-length': String(body?.length ?? 0), connection: 'close' }
  const head = Object.entries(fields).map(([name, value]) => `${name}: ${value}\r\n`)
  socket.write(`HTTP/1.1 ${status} ${STATUS_CODES[status] ?? ''}\r\n${head.join('')}\r\n`)
  socket.end(body ?? '')
}
