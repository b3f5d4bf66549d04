/** Answers that are given before the body of their request has come to its end. */
import type { Socket } from 'node:net'

/** How long a connection is kept for the client to read the last answer on it. [ms] */
const LINGER_MS = 2_000

/**
 * Makes an answer the last on its connection.
 *
 * What else is on its way on the connection is the rest of the body, which nobody wants: the client is told not to send its
 * next request there. Closing at once would reset the connection under a client that still sends, and take the answer from
 * it: the connection is ended on this side, and destroyed a little later. RFC 9112 §9.6.
 */
export function makeLast(response: Response, socket: Pick<Socket, 'end' | 'destroy' | 'destroySoon'>): void {
  response.headers.set('connection', 'close')
  // What Node calls when the last answer of a connection has been written.
  socket.destroySoon = () => {
    socket.end()
    setTimeout(() => socket.destroy(), LINGER_MS).unref()
  }
}
