/** The application as it is, over a store and a log in memory, with a key that everybody knows and a clock that stands still. */
import { assess, protocols } from '@fairpull/sdk/engine'
import { importSigningKey, type PublicJwk, type SigningKey, signTrustList, verifierKeyText } from '@fairpull/sdk/verify'
import { createApp } from '../app.ts'
import { operations } from '../http/operations.ts'
import { allScopes } from '../http/scope.ts'
import { contractSchemas } from '../schemas/contract-schemas.ts'
import { createSigner } from '../signing/signer.ts'
import { firstList } from '../signing/trust-changes.ts'
import type { FirstTrust } from '../signing/trust-files.ts'
import { issuedRecordsOf } from '../usecases/study-use-cases.ts'
import { createUseCases, type SignedTrustList } from '../usecases/use-cases.ts'
import { trustInSelf } from '../usecases/verify-summary.ts'
import { createMemoryLog } from './memory-log.ts'
import { createMemoryStore } from './memory-store.ts'

/** What may be set. */
export interface MemoryAppOptions {
  /** The private key it signs with, as a JWK. Not for anything that counts. */
  readonly signingKey: object
  /** The private root key that signs its trust list, as a JWK. Not for anything that counts. */
  readonly rootKey: object
  /** The only API key it lets in; it has every scope. */
  readonly apiKey: string
  /** Name of the organisation the key belongs to. */
  readonly organisation: string
  /** Name of the issuing service. */
  readonly issuer: string
  /** Name of its log. */
  readonly logOrigin: string
  /** The time. */
  readonly now: () => Date
  /** Requests that the key may make in a minute; 0 for no limit. */
  readonly rateLimit_perMinute: number
  /** Largest body. [bytes] */
  readonly bodyLimit: number
}

/** An application that answers. */
export interface MemoryApp {
  /** Answers a request. */
  readonly fetch: (request: Request) => Promise<Response>
  /** Every operation it has. */
  readonly operations: readonly { readonly id: string; readonly method: string; readonly address: string }[]
  /** The public key that its summaries verify with. */
  readonly publicKey: PublicJwk
  /** The key of its log, as a line of the C2SP signed-note format. */
  readonly logKey: string
}

/** In place of the page that is built with the service. */
const VERIFIER_PAGE = '<!doctype html><title>The verifier page comes with the service</title>'

/**
 * Makes the application. The same options and the same requests in the same order give the same bytes.
 *
 * @throws TypeError when the signing key cannot be read.
 */
export async function createMemoryApp(options: MemoryAppOptions): Promise<MemoryApp> {
  const { apiKey, organisation, issuer, rateLimit_perMinute, bodyLimit } = options
  const key = await importSigningKey(options.signingKey)
  if (!key.ok) throw new TypeError(`the signing key cannot be read: ${key.problem.detail}`)
  const root = await importSigningKey(options.rootKey)
  if (!root.ok) throw new TypeError(`the root key cannot be read: ${root.problem.detail}`)
  const store = createMemoryStore(options.logOrigin)
  store.admit(apiKey, { tenant: 'tenant-1', organisation, apiKey: 'key-1', scopes: allScopes })
  const logKey = await verifierKeyText(options.logOrigin, key.value)
  const signer = createSigner(key.value)
  const ids = countedIds()
  const app = createApp({
    useCases: createUseCases({
      ...{ store, signer, issuer, ids, protocols, clock: { now: options.now }, assessor: { assess } },
      trust: await trustInSelf(signer, issuer, [logKey]),
      trustList: await trustListOf({ jwk: key.value.jwk, issuer, logs: [logKey] }, root.value, options.now()),
      ...{ log: createMemoryLog(store.logStorage, key.value), secrets: { next: () => '0'.repeat(64) } },
      issuedRecords: issuedRecordsOf(store.studies),
    }),
    ...{
      apiKeys: store.apiKeys,
      ids,
      log: { write: () => undefined },
      bodyLimit,
      rateLimit_perMinute,
      contractSchemas,
    },
    ...{ hasProcessMetrics: false, isDraining: () => false, verifierPage: () => VERIFIER_PAGE },
  })
  return {
    fetch: async (request) => app.fetch(request),
    operations: operations.map(({ id, method, address }) => ({ id, method, address })),
    publicKey: key.value.jwk,
    logKey,
  }
}

async function trustListOf(first: FirstTrust, root: SigningKey, now: Date): Promise<SignedTrustList> {
  const list = firstList(first, now)
  const { version, expiresAt } = list
  return { list: await signTrustList(list, root), root: root.kid, version, expiresAt }
}

/** Identities of the form of UUID version 7 that count from zero. */
function countedIds() {
  const counter = { next: 0 }
  return { next: () => `01890000-0000-7000-8000-${(counter.next++).toString(16).padStart(12, '0')}` }
}
