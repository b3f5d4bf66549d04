/** A client whose requests go straight into the real application, and that trusts its key. */
import { Fairpull, type FairpullOptions } from '../../packages/sdk/src/client/index.ts'
import { createTestApp, type TestApp, type TestAppOptions } from '../support/test-app.ts'
import { manualClock } from './loopback.ts'

/** How the two are connected. */
export interface ConnectionOptions extends TestAppOptions, Pick<Partial<FairpullOptions>, 'retries' | 'hooks'> {
  /** So many answers get lost on the way back, the first ones. */
  readonly lostAnswers?: number
}

/** A client, the application behind it, and the requests that went from one to the other. */
export interface Connection {
  readonly fairpull: Fairpull
  readonly app: TestApp
  readonly sent: readonly Request[]
}

/** Connects a client whose waits between attempts pass at once. */
export async function connected(options: ConnectionOptions = {}): Promise<Connection> {
  const { lostAnswers = 0, retries = 0, hooks = {} } = options
  const app = await createTestApp(options)
  const sent: Request[] = []
  const through: typeof fetch = async (input, init) => {
    const request = new Request(input, init)
    const isRead = request.method === 'GET'
    if (!isRead) sent.push(request.clone())
    const response = await app.fetch(request)
    if (!isRead && sent.length <= lostAnswers) {
      await response.text()
      throw new TypeError('the connection broke')
    }
    return response
  }
  const common = { baseUrl: 'http://service.test', apiKey: app.key, fetch: through, retries, hooks }
  const runtime = { clock: manualClock((wait) => wait < 20_000), random: () => 0.5 }
  const { keys } = await new Fairpull(common).keys.jwks()
  const trust = { keys: keys.map((jwk) => ({ jwk, issuer: 'Test service', notBefore: '2026-01-01T00:00:00Z' })) }
  return { fairpull: new Fairpull({ ...common, trust, runtime }), app, sent }
}
