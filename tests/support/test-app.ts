/** The service without socket and database: the real application over a store in memory. */
import { readdirSync, readFileSync } from 'node:fs'
import { contractDocs } from '../../packages/sdk/src/contract/contract-docs.ts'
import type { Comparison, FacilityRecord, Protocol, Result } from '../../packages/sdk/src/contract/index.ts'
import { componentSchemas } from '../../packages/sdk/src/contract/json-schema.ts'
import { importSigningKey, verifierKeyText } from '../../packages/sdk/src/integrity/index.ts'
import { createApp } from '../../packages/service/src/app.ts'
import type { LogEntry } from '../../packages/service/src/http/log.ts'
import { openApiDocument } from '../../packages/service/src/http/openapi.ts'
import { operations } from '../../packages/service/src/http/operations.ts'
import { allScopes } from '../../packages/service/src/http/scope.ts'
import type { Caller } from '../../packages/service/src/ports.ts'
import { createSigner } from '../../packages/service/src/signing/signer.ts'
import { issuedRecordsOf } from '../../packages/service/src/usecases/study-use-cases.ts'
import { createUseCases } from '../../packages/service/src/usecases/use-cases.ts'
import { trustInSelf } from '../../packages/service/src/usecases/verify-summary.ts'
import { createMemoryLog } from './memory-log.ts'
import { createMemoryStore, type MemoryStore } from './memory-store.ts'
import { type AnswerCheck, createAnswerCheck } from './openapi.ts'
import { plainResult } from './plain-result.ts'

/** What a test may set. */
export interface TestAppOptions {
  readonly bodyLimit?: number
  readonly rateLimit_perMinute?: number
  readonly assess?: (comparison: Comparison) => Promise<Result>
  /** The time; stands still when absent. */
  readonly now?: () => Date
  /** Protocols of the service; one of a single check when absent. */
  readonly protocols?: Readonly<Record<string, Protocol>>
  /** Facility records that the register issued besides those of its studies, by study. */
  readonly issuedRecords?: Readonly<Record<string, FacilityRecord>>
  readonly verifierPage?: () => string
}

/** The application under test. */
export interface TestApp {
  /** Sends a request through the whole application and holds the answer against the OpenAPI document. */
  readonly request: (path: string, init?: RequestInit) => Promise<Response>
  readonly store: MemoryStore
  readonly log: readonly LogEntry[]
  /** Entries of the Merkle log, in order. */
  readonly entries: readonly Uint8Array[]
  readonly check: AnswerCheck
  /** A key with every scope. */
  readonly key: string
  /** Lets another key in. */
  readonly admit: (key: string, caller: Partial<Caller>) => void
  readonly lifecycle: { isDraining: boolean }
  /** The application itself, to be served. */
  readonly fetch: (request: Request) => Response | Promise<Response>
}

/** RFC 8037 appendix A.1: a key that everybody knows. */
const KNOWN_KEY = {
  kty: 'OKP',
  crv: 'Ed25519',
  d: 'nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A',
  x: '11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo',
}

/** The only protocol of the test service. */
export const testProtocol: Protocol = {
  id: 'motorcycle-rollers@1',
  title: 'A protocol of one check',
  assumed: {
    typical: { repeatability: 0.004, localNoise: 0.003, remounting: 0.004, day: 0.004 },
    cautious: { repeatability: 0.01, localNoise: 0.006, remounting: 0.01, day: 0.01 },
  },
  checks: [
    {
      check: 'tyre-pressure-matched',
      compares: 'Side means of gauge pressure.',
      severity: 'gate',
      limits: { pressure: { met: 7, marginal: 20, unit: 'kPa' } },
      basis: 'Common practice, no source.',
      effect: null,
      sharesGain: null,
    },
  ],
}

const contract = new URL('../../packages/sdk/src/contract/', import.meta.url)

/** Schemas of the contract, described by the comments of its sources. */
export const contractSchemas = schemasOfSources()

/** The OpenAPI document, made from the sources. */
export const documentOfSources = openApiDocument({ operations, contract: contractSchemas })

const check = createAnswerCheck(documentOfSources)

function schemasOfSources() {
  const sources = readdirSync(contract).filter((name) => name.endsWith('.ts'))
  return componentSchemas(contractDocs(sources.map((name) => readFileSync(new URL(name, contract), 'utf8'))))
}

/** The application over an empty store, with a clock that stands still and identities that count. */
export async function createTestApp(options: TestAppOptions = {}): Promise<TestApp> {
  const signingKey = await importSigningKey(KNOWN_KEY)
  if (!signingKey.ok) throw new Error(signingKey.problem.detail)
  const signer = createSigner(signingKey.value)
  const store = createMemoryStore()
  const log: LogEntry[] = []
  const lifecycle = { isDraining: false }
  const counter = { next: 0 }
  const ids = { next: () => countedId(counter.next++) }
  const clock = { now: options.now ?? (() => new Date('2026-05-02T09:30:00Z')) }
  const records = issuedRecordsOf(store.studies)
  const merkleLog = createMemoryLog(store.logStorage, signingKey.value)
  const issuer = 'Test service'
  const app = createApp({
    useCases: createUseCases({
      ...{ store, signer, issuer, clock, ids },
      trust: await trustInSelf(signer, issuer, [await verifierKeyText('log.example.org', signingKey.value)]),
      protocols: options.protocols ?? { [testProtocol.id]: testProtocol },
      ...{ trustList: { list: 'a.b.c', root: 'root', version: 1, expiresAt: '2027-05-02T09:30:00.000Z' } },
      ...{ log: merkleLog, secrets: { next: () => '0'.repeat(64) } },
      issuedRecords: {
        find: async (tenant, study, facility) =>
          options.issuedRecords?.[study] ?? records.find(tenant, study, facility),
      },
      assessor: { assess: options.assess ?? plainResult },
    }),
    apiKeys: store.apiKeys,
    ids,
    log: { write: (entry) => log.push(entry) },
    bodyLimit: options.bodyLimit ?? 64 * 1024,
    rateLimit_perMinute: options.rateLimit_perMinute ?? 0,
    hasProcessMetrics: false,
    isDraining: () => lifecycle.isDraining,
    verifierPage: options.verifierPage ?? (() => '<!doctype html><title>The page that the build makes</title>'),
    contractSchemas: () => contractSchemas,
  })
  const admit = (key: string, caller: Partial<Caller>) =>
    store.admit(key, { tenant: 'tenant-a', organisation: 'Workshop A', apiKey: 'key-a', scopes: allScopes, ...caller })
  admit('fp_test', {})
  return {
    store,
    entries: store.logStorage.entriesKept,
    log,
    check,
    key: 'fp_test',
    admit,
    lifecycle,
    fetch: app.fetch,
    request: async (path, init) => {
      const response = await app.request(path, init)
      const { pathname } = new URL(`http://localhost${path}`)
      await check.expectDocumented({ method: init?.method ?? 'GET', path: pathname, response })
      return response
    },
  }
}

function countedId(count: number): string {
  return `01890000-0000-7000-8000-${count.toString(16).padStart(12, '0')}`
}
