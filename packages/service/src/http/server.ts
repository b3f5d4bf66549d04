/** The socket side: one listening address, slow and malformed requests, and an orderly end. */
import { createServer, IncomingMessage, type Server, type ServerOptions, type ServerResponse } from 'node:http'
import type { AddressInfo, Socket } from 'node:net'
import { getRequestListener } from '@hono/node-server'
import { makeLast } from './last-answer.ts'
import { problemAnswer, type Refusal, refuse } from './problem.ts'
import { writeRawAnswer } from './raw-answer.ts'
import { responseOf } from './router.ts'

/** Where and what to serve. */
export interface ListenOptions {
  readonly host: string
  /** TCP port; 0 for any that is free. */
  readonly port: number
  /** The application. */
  readonly fetch: (request: Request) => Response | Promise<Response>
  /** Largest body. [bytes] */
  readonly bodyLimit: number
  /** A fresh request id. */
  readonly freshId: () => string
  /** Addresses that take bodies of lines. */
  readonly linesAt: readonly string[]
  /** A client whose whole request takes longer is cut, or each piece of a body of lines; 30 s when absent. [ms] */
  readonly requestTimeout_ms?: number
}

/** A server that listens. */
export interface RunningServer {
  /** Address to reach it at, without a slash at its end. */
  readonly url: string
  /**
   * Takes no further connection, and resolves when every request under way has been answered, and the work on those whose
   * clients left is done as well: what it works with may be closed then.
   *
   * @param patience_ms after which connections still open are cut, and nothing is waited for any more.
   */
  close(patience_ms: number): Promise<void>
}

/** From the first byte of a request to its last. [ms] */
const REQUEST_TIMEOUT_MS = 30_000

/** A client is cut that takes longer: for the head of a request, between two requests; see `watchRequest` for the rest. [ms] */
function timeouts(requestTimeout_ms: number): ServerOptions {
  const headersTimeout = Math.min(10_000, requestTimeout_ms)
  return { requestTimeout: 0, headersTimeout, keepAliveTimeout: 65_000, connectionsCheckingInterval: 1_000 }
}

/** All header fields of a request together. [bytes] */
const MOST_HEADER_BYTES = 16 * 1024

/** Listens. @throws the error of the system when the address cannot be had. */
export async function listen(options: ListenOptions): Promise<RunningServer> {
  const { host, port, bodyLimit, freshId, linesAt, requestTimeout_ms = REQUEST_TIMEOUT_MS } = options
  const isOfLines = ({ url = '' }: IncomingMessage) => linesAt.includes(url.split('?')[0] ?? '')
  const work = trackWork(options.fetch, isOfLines)
  const respond = getRequestListener(work.fetch, {
    errorHandler: () => {
      const requestId = freshId()
      return responseOf(problemAnswer(malformed('its address or its Host field cannot be read'), requestId), requestId)
    },
  })
  // A missing Host field is refused by `respond`, as problem+json.
  const server = createServer({
    ...timeouts(requestTimeout_ms),
    maxHeaderSize: MOST_HEADER_BYTES,
    requireHostHeader: false,
  })
  const exchanges = trackExchanges(server)
  const cutOff = (socket: Socket, refusal: Refusal) => {
    if (exchanges.mayAnswer(socket)) writeRawAnswer(socket, problemAnswer(refusal, freshId()))
    else socket.destroy()
  }
  const serve = (request: IncomingMessage, response: ServerResponse) => {
    exchanges.begin(request, response)
    watchRequest(request, {
      timeout_ms: requestTimeout_ms,
      isOfLines: isOfLines(request),
      onLate: () => cutOff(request.socket, late()),
    })
    void respond(request, response)
  }
  server.on('request', serve)
  server.on('checkExpectation', serve)
  server.on('checkContinue', (request: IncomingMessage, response: ServerResponse) => {
    // A body that is announced as too large need not be sent at all.
    if (!(Number(request.headers['content-length']) > bodyLimit)) response.writeContinue()
    serve(request, response)
  })
  server.on('clientError', (error: NodeJS.ErrnoException, socket: Socket) => {
    cutOff(socket, refusalOf(error.code))
  })
  await bound(server, host, port)
  return { url: urlOf(server, host), close: (patience_ms) => closed(server, { exchanges, work, patience_ms }) }
}

/** Which connections have a request under way. */
interface Exchanges {
  begin(request: IncomingMessage, response: ServerResponse): void
  /** Whether an answer about a malformed request can still be the only answer to it. */
  mayAnswer(socket: Socket): boolean
  /** From now on, connections are closed as soon as their request is answered. */
  end(): void
}

/** The work on requests, whether or not anybody still waits for the answer. */
interface Work {
  /** Answers; an answer given before the body had come to its end is the last on its connection. */
  readonly fetch: (request: Request, bindings: { readonly incoming: object }) => Promise<Response>
  /** Resolves when nothing is under way. */
  done(): Promise<unknown>
}

function trackWork(fetch: ListenOptions['fetch'], isOfLines: (request: IncomingMessage) => boolean): Work {
  const underWay = new Set<Promise<Response>>()
  return {
    fetch: async (request, { incoming }) => {
      const answer = Promise.resolve(fetch(request))
      underWay.add(answer)
      try {
        const response = await answer
        if (incoming instanceof IncomingMessage && !incoming.complete && !isOfLines(incoming)) {
          makeLast(response, incoming.socket)
        }
        return response
      } finally {
        underWay.delete(answer)
      }
    },
    done: () => Promise.allSettled(underWay),
  }
}

function trackExchanges(server: Server): Exchanges {
  const open = new WeakMap<Socket, { readonly request: IncomingMessage; readonly response: ServerResponse }>()
  let isEnding = false
  return {
    begin: (request, response) => {
      const exchange = { request, response }
      open.set(request.socket, exchange)
      response.once('close', () => {
        if (open.get(request.socket) === exchange) open.delete(request.socket)
        if (isEnding) setImmediate(() => server.closeIdleConnections())
      })
    },
    mayAnswer: (socket) => {
      const exchange = open.get(socket)
      return (
        socket.writable && (exchange === undefined || !(exchange.request.complete || exchange.response.headersSent))
      )
    },
    end: () => {
      isEnding = true
    },
  }
}

/**
 * Tells of a request that does not end in time.
 *
 * A body of lines is read as fast as its lines are carried out, which may take as long as it likes; late is one of which
 * nothing came for that long although everything that had come was read.
 */
function watchRequest(
  request: IncomingMessage,
  watch: { readonly timeout_ms: number; readonly isOfLines: boolean; readonly onLate: () => void },
): void {
  const { socket } = request
  let received = socket.bytesRead
  const look = () => {
    // One that came to its end is late no more, even if nobody has read that end yet.
    if (request.complete) return
    const isMoving = socket.bytesRead > received || request.readableLength > 0
    received = socket.bytesRead
    if (watch.isOfLines && isMoving) timer = setTimeout(look, watch.timeout_ms)
    else watch.onLate()
  }
  let timer = setTimeout(look, watch.timeout_ms)
  const stop = () => clearTimeout(timer)
  request.once('end', stop)
  request.once('close', stop)
}

function late(): Refusal {
  return refuse('ERR_REQUEST_TIMEOUT', 'The request was not complete in time; send it again.')
}

function refusalOf(code: string | undefined): Refusal {
  switch (code) {
    case 'ERR_HTTP_REQUEST_TIMEOUT':
      return late()
    case 'HPE_HEADER_OVERFLOW':
      return refuse('ERR_HEADERS_TOO_LARGE', `All header fields together may take ${MOST_HEADER_BYTES} bytes.`)
    default:
      return malformed('it is not HTTP/1.1')
  }
}

function malformed(reason: string): Refusal {
  return refuse('ERR_REQUEST_MALFORMED', `The request cannot be read: ${reason}.`)
}

function bound(server: Server, host: string, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', reject)
    server.listen(port, host, () => {
      server.off('error', reject)
      resolve()
    })
  })
}

/** An address that stands for every one of the machine is reached at its loopback address. */
function urlOf(server: Server, host: string): string {
  const { port } = server.address() as AddressInfo
  const reachable = host === '0.0.0.0' ? '127.0.0.1' : host === '::' ? '::1' : host
  return `http://${reachable.includes(':') ? `[${reachable}]` : reachable}:${port}`
}

async function closed(
  server: Server,
  {
    exchanges,
    work,
    patience_ms,
  }: { readonly exchanges: Exchanges; readonly work: Work; readonly patience_ms: number },
): Promise<void> {
  exchanges.end()
  let cut: NodeJS.Timeout | undefined
  const isLate = new Promise<void>((resolve) => {
    cut = setTimeout(() => {
      server.closeAllConnections()
      resolve()
    }, patience_ms)
  })
  await new Promise<void>((resolve) => server.close(() => resolve()))
  await Promise.race([work.done(), isLate])
  clearTimeout(cut)
}
