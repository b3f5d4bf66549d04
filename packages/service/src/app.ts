/** The application: the table of operations, tied to the world it is given. No socket, no clock, no file of its own. */
import type { Hono } from 'hono'
import type { SchemaObject } from 'openapi3-ts/oas31'
import { jsonBytes } from './http/answer.ts'
import { createBodyBudget } from './http/body-budget.ts'
import type { Log } from './http/log.ts'
import { createMetrics } from './http/metrics.ts'
import { openApiDocument } from './http/openapi.ts'
import { operations } from './http/operations.ts'
import { createRateLimit } from './http/rate-limit.ts'
import { createRouter } from './http/router.ts'
import { createSlots } from './http/slots.ts'
import type { ApiKeys, Ids } from './ports.ts'
import type { UseCases } from './usecases/use-cases.ts'

/** The world of the application. */
export interface AppDeps {
  readonly useCases: UseCases
  readonly apiKeys: ApiKeys
  readonly ids: Ids
  readonly log: Log
  /** Largest request body. [bytes] */
  readonly bodyLimit: number
  /** Requests that an API key may make in a minute; 0 for no limit. */
  readonly rateLimit_perMinute: number
  /** Whether the figures of the service hold those of the process. */
  readonly hasProcessMetrics: boolean
  /** The verifier page, as it was built; read when it is first asked for. */
  readonly verifierPage: () => string
  /** Whether the service is shutting down. */
  readonly isDraining: () => boolean
  /** Schemas of the contract by name, for the OpenAPI document. */
  readonly contractSchemas: () => Readonly<Record<string, SchemaObject>>
}

/** Bodies that are parsed and worked on at once. */
const BODIES_AT_ONCE = 8

/** Requests with a complete body that may wait for their turn. */
const LONGEST_LINE = 256

/** Bodies of the largest size for which there is room while they arrive and wait. */
const LARGEST_BODIES_HELD = 10

/** Makes the application; `app.request(path)` and a server's listener both go through all of it. */
export function createApp(deps: AppDeps): Hono {
  const { useCases, apiKeys, ids, log, bodyLimit, isDraining, contractSchemas } = deps
  const metrics = createMetrics(deps.hasProcessMetrics)
  const document = once(() => jsonBytes(openApiDocument({ operations, contract: contractSchemas() })))
  return createRouter({
    operations,
    log: {
      write: (entry) => {
        if (entry.event === 'request') metrics.record(entry)
        log.write(entry)
      },
    },
    freshId: () => ids.next(),
    gate: {
      service: { useCases, document, metricsText: metrics.text, verifierPage: once(deps.verifierPage), isDraining },
      apiKeys,
      bodyLimit,
      budget: createBodyBudget(LARGEST_BODIES_HELD * bodyLimit),
      slots: createSlots(BODIES_AT_ONCE, LONGEST_LINE),
      rateLimit: createRateLimit(deps.rateLimit_perMinute),
    },
  })
}

function once<T>(make: () => T): () => T {
  let made: { readonly value: T } | undefined
  return () => {
    made ??= { value: make() }
    return made.value
  }
}
