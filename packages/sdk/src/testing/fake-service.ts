/** The service in memory: the application itself, without socket and database, under a clock that stands still. */
import { Fairpull, type FairpullOptions } from '../client/index.ts'
import type { PublicJwk, TrustBundle } from '../integrity/index.ts'
import type { Failure } from './failures.ts'
import { TEST_TIME } from './fixtures.ts'
import { TEST_ISSUER, testRootKey, testSigningKey, testTrust } from './test-key.ts'

/** How the fake is set up. */
export interface FakeOptions {
  /** Address it stands for. Default: `http://fairpull.test` */
  readonly baseUrl?: string
  /** Its time. Default: stands still at `TEST_TIME`. */
  readonly now?: () => Date
  /** Organisation of its API key. Default: `Test workshop` */
  readonly organisation?: string
  /** Requests its key may make in a minute. [1]; 0, the default, for no limit */
  readonly rateLimit_perMinute?: number
  /** Largest body. [byte], default 2 MiB */
  readonly bodyLimit?: number
}

/** An operation of the service. */
export interface FakeOperation {
  /** Its `operationId` in OpenAPI. */
  readonly id: string
  /** HTTP method in small letters. */
  readonly method: string
  /** Address; path parameters in braces. */
  readonly address: string
}

/** A service to test against. */
export interface FakeService {
  /** Address it stands for. */
  readonly baseUrl: string
  /** The key it lets in; it permits everything. */
  readonly apiKey: string
  /** Trust in its signatures and its log. */
  readonly trust: TrustBundle
  /** The root key that its trust list is signed by. */
  readonly rootKey: PublicJwk
  /** Every operation it has: all of the service. */
  readonly operations: readonly FakeOperation[]
  /** What arrived, in order; bodies can be read once from each. */
  readonly received: readonly Request[]
  /** Answers a request. Give it to a client as `fetch`. */
  readonly fetch: typeof fetch
  /** Lets the next requests fail. @returns what takes the failure back. */
  readonly failNext: (failure: Failure) => () => void
  /** A client of it, with its key and its trust; waits between attempts pass at once. */
  readonly client: (options?: Partial<FairpullOptions>) => Fairpull
}

interface MemoryApp {
  readonly fetch: (request: Request) => Promise<Response>
  readonly operations: readonly FakeOperation[]
  readonly publicKey: PublicJwk
  readonly logKey: string
}

interface MemoryAppModule {
  readonly createMemoryApp: (options: object) => Promise<MemoryApp>
}

const API_KEY = 'fp_test'
const TWO_MEBIBYTES = 2 * 1024 * 1024

/** Where the build puts the application, seen from the sources and from what they are compiled to alike. */
const MEMORY_APP = new URL('../../dist/testing/memory-app.js', import.meta.url).href

/**
 * Starts a fake service. It needs Node, no port and no database, and is gone with the test.
 *
 * It is the code of the service itself over a store in memory, with the real engine, a key that everybody knows, a clock
 * that stands still and identities that count: the same requests in the same order give the same bytes.
 *
 * @example
 * const fake = await createFakeService()
 * fake.failNext(failures.rateLimited())
 * const { result } = await fake.client().assessments.create(twoFigures)
 */
export async function createFakeService(options: FakeOptions = {}): Promise<FakeService> {
  const { baseUrl = 'http://fairpull.test' } = options
  const app = await memoryApp(options)
  const received: Request[] = []
  const script = createScript(app.operations)
  const answer: typeof fetch = async (input, init) => {
    const request = new Request(input, init)
    request.signal.throwIfAborted()
    received.push(request.clone())
    return script.answer(request, app.fetch)
  }
  const trust: TrustBundle = { ...testTrust, logs: [app.logKey] }
  return {
    baseUrl,
    apiKey: API_KEY,
    trust,
    rootKey: { kty: testRootKey.kty, crv: testRootKey.crv, x: testRootKey.x },
    operations: app.operations,
    received,
    fetch: answer,
    failNext: script.add,
    client: (given = {}) =>
      new Fairpull({ baseUrl, apiKey: API_KEY, trust, fetch: answer, runtime: hurried, ...given }),
  }
}

async function memoryApp(options: FakeOptions): Promise<MemoryApp> {
  const { createMemoryApp }: MemoryAppModule = await import(/* @vite-ignore */ MEMORY_APP)
  return createMemoryApp({
    signingKey: testSigningKey,
    rootKey: testRootKey,
    apiKey: API_KEY,
    organisation: options.organisation ?? 'Test workshop',
    issuer: TEST_ISSUER,
    logOrigin: 'log.fairpull.test',
    now: options.now ?? (() => new Date(TEST_TIME)),
    rateLimit_perMinute: options.rateLimit_perMinute ?? 0,
    bodyLimit: options.bodyLimit ?? TWO_MEBIBYTES,
  })
}

/** No jitter, and waits below the client's own time limits pass at once. */
const hurried: FairpullOptions['runtime'] & {} = {
  random: () => 0,
  clock: {
    now: () => Date.now(),
    after: (wait, ring) => {
      const timer = setTimeout(ring, wait <= LONGEST_HURRIED_ms ? 0 : wait)
      return () => clearTimeout(timer)
    },
  },
}

const LONGEST_HURRIED_ms = 10_000

/** The failures that are still to strike, in the order in which they were given. */
function createScript(operations: readonly FakeOperation[]) {
  const waiting: { readonly failure: Failure; left: number }[] = []
  const remove = (entry: (typeof waiting)[number]) => {
    const at = waiting.indexOf(entry)
    if (at >= 0) waiting.splice(at, 1)
  }
  return {
    add: (failure: Failure) => {
      const entry = { failure, left: failure.times ?? 1 }
      waiting.push(entry)
      return () => remove(entry)
    },
    answer: async (request: Request, next: (request: Request) => Promise<Response>) => {
      const id = operationOf(operations, request)?.id
      const entry = waiting.find(({ failure }) => failure.operation === undefined || failure.operation === id)
      if (entry === undefined) return next(request)
      entry.left -= 1
      if (entry.left <= 0) remove(entry)
      return entry.failure.answer(request, next)
    },
  }
}

/** The operation that a request is for; undefined where there is none. */
function operationOf(operations: readonly FakeOperation[], request: Request): FakeOperation | undefined {
  const { pathname } = new URL(request.url)
  return operations.find(({ method, address }) => {
    const pattern = address
      .replaceAll('.', '\\.')
      .replaceAll(/\{tile\}$/g, '.+')
      .replaceAll(/\{\w+\}/g, '[^/]+')
    return method === request.method.toLowerCase() && new RegExp(`${pattern}$`).test(pathname)
  })
}
