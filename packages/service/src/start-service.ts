/** From settings to a service that answers: every part opened in order, and closed in the opposite order. */
import { join } from 'node:path'
import { assess, protocols } from '@fairpull/sdk/engine'
import { verifierKeyText } from '@fairpull/sdk/verify'
import type { Hono } from 'hono'
import { createApp } from './app.ts'
import { builtVerifierPage } from './built-verifier-page.ts'
import { digestBytes } from './digest-bytes.ts'
import type { Settings } from './env.ts'
import { describeError, type Log } from './http/log.ts'
import { operations } from './http/operations.ts'
import { allScopes } from './http/scope.ts'
import { type ListenOptions, listen, type RunningServer } from './http/server.ts'
import { type OpenedLog, openLog } from './log/open-log.ts'
import type { PlanStore } from './plan-ports.ts'
import type { Clock, MerkleLog, PublicKeySet, Signer, Store } from './ports.ts'
import { contractSchemas } from './schemas/contract-schemas.ts'
import { openSigner } from './signing/signer.ts'
import { isRootHere, type OpenedTrust, openTrust, ROOT_KEY_FILE } from './signing/trust-files.ts'
import { StartRefused } from './store/failure.ts'
import { createFirstApiKey } from './store/first-api-key.ts'
import { uuidIds } from './store/ids.ts'
import { randomSecrets } from './store/secrets.ts'
import { openStore } from './store/store.ts'
import { catchUpLog } from './usecases/log-summary.ts'
import { issuedRecordsOf } from './usecases/study-use-cases.ts'
import { createUseCases } from './usecases/use-cases.ts'

/** What a start needs besides the settings. */
export interface StartOptions {
  readonly log: Log
  /** Told in one sentence what is happening while it takes a while. */
  readonly notify?: (sentence: string) => void
  /** Told when the data folder went to another process: this one must end. */
  readonly onLost?: (reason: StartRefused) => void
}

/** A service that answers. */
export interface RunningService {
  /** Address to reach it at, without a slash at its end. */
  readonly url: string
  /** The first API key, at the first start only; it is kept nowhere. */
  readonly firstApiKey: string | undefined
  /** Folder of the signing key. */
  readonly keyFolder: string
  /** RFC 7638 thumbprint of the signing key. */
  readonly keyId: string
  /** Answers what is under way, takes nothing new, closes the store. Later calls wait for the first. */
  stop(): Promise<void>
}

/** Requests under way are given so long when the service stops. [ms] */
const DRAIN_PATIENCE_MS = 15_000

/** How long before its end the operator is told of it. [ms] */
const RENEWAL_WARNING_MS = 30 * 24 * 60 * 60_000

/** How often answers that are kept no longer are cleared away, and how many at a time. [ms], [1] */
const HOUSEKEEPING_MS = 10 * 60_000
const CLEARED_AT_ONCE = 1_000

const systemClock: Clock = { now: () => new Date() }

/**
 * Starts the service.
 *
 * @throws StartRefused with one sentence per obstacle; nothing is left running.
 */
export async function startService(settings: Settings, options: StartOptions): Promise<RunningService> {
  const store = await openStore({
    ...settings,
    notify: (sentence) => options.notify?.(sentence),
    onLost: (reason) => options.onLost?.(reason),
  })
  try {
    return await serve(settings, options, store)
  } catch (error) {
    await store.close()
    throw error
  }
}

async function serve(settings: Settings, options: StartOptions, store: PlanStore): Promise<RunningService> {
  const { log } = options
  const keyFolder = join(settings.dataFolder, 'keys')
  const ownSigner = await openSigner(keyFolder)
  const record = await openLog({
    storage: store.logStorage,
    dataFolder: settings.dataFolder,
    keyFolder,
    origin: settings.logOrigin,
    notify: (sentence) => options.notify?.(sentence),
  })
  const lifecycle = { isDraining: false }
  const trusted = await openOwnTrust(keyFolder, settings.issuer, ownSigner, record, options)
  await store.noteTrustList(digestBytes(trusted.seen.digest), systemClock.now())
  const signer: Signer = { ...ownSigner, publicKeys: () => publicKeysOf(trusted, ownSigner) }
  const app = appOver({ settings, log, store, signer, record, trusted, isDraining: () => lifecycle.isDraining })
  const server = await listenOrRefuse({
    ...settings,
    fetch: app.fetch,
    bodyLimit: settings.bodyLimit_bytes,
    linesAt: operations.filter(({ eachLine }) => eachLine !== undefined).map(({ address }) => address),
    freshId: () => uuidIds.next(),
  })
  log.write({ event: 'listening', detail: server.url })
  const housekeeping = keepHouse(store, record.log, log)

  const stop = once(async () => {
    lifecycle.isDraining = true
    clearInterval(housekeeping)
    log.write({ event: 'draining', detail: 'requests under way are answered' })
    await server.close(DRAIN_PATIENCE_MS)
    await store.close()
    log.write({ event: 'stopped', detail: 'the store is closed' })
  })
  const firstApiKey = await firstKeyOf(settings, store, server)
  return { url: server.url, firstApiKey, keyFolder, keyId: signer.keyId, stop }
}

interface AppWorld {
  readonly settings: Settings
  readonly log: Log
  readonly store: PlanStore
  readonly signer: Signer
  readonly record: OpenedLog
  readonly trusted: OpenedTrust
  readonly isDraining: () => boolean
}

function appOver({ settings, log, store, signer, record, trusted, isDraining }: AppWorld): Hono {
  const { issuer, bodyLimit_bytes: bodyLimit, rateLimit_perMinute } = settings
  const { trust, jws: list, root } = trusted
  const { version, expiresAt } = trusted.list
  const world = {
    ...{ store, signer, issuer, trust, protocols, clock: systemClock, ids: uuidIds, assessor: { assess } },
    ...{
      trustList: { list, root: root.kid, version, expiresAt },
      log: record.log,
      issuedRecords: issuedRecordsOf(store.studies),
      secrets: randomSecrets,
    },
  }
  return createApp({
    useCases: createUseCases(world),
    apiKeys: store.apiKeys,
    ids: uuidIds,
    log,
    bodyLimit,
    rateLimit_perMinute,
    hasProcessMetrics: true,
    verifierPage: builtVerifierPage,
    isDraining,
    contractSchemas,
  })
}

/** The trust list; the operator is told when its root is not where it belongs, or its time runs out. */
async function openOwnTrust(
  keyFolder: string,
  issuer: string,
  signer: Signer,
  record: OpenedLog,
  { notify }: StartOptions,
): Promise<OpenedTrust> {
  const [jwk] = signer.publicKeys().keys
  if (jwk === undefined) throw new TypeError('a signer has a key')
  const logs = [await verifierKeyText(record.origin, record.key)]
  const now = systemClock.now()
  const trusted = await openTrust(keyFolder, { jwk, issuer, logs }, now)
  const { expiresAt } = trusted.list
  if (Date.parse(expiresAt) - now.getTime() < RENEWAL_WARNING_MS) {
    notify?.(`The trust list may be used until ${expiresAt}: sign it anew with "fairpull-service trust renew".`)
  }
  if (await isRootHere(keyFolder)) {
    notify?.(
      `The root key ${trusted.root.kid} lies in ${join(keyFolder, ROOT_KEY_FILE)}: move it to a place that is offline, and keep a copy.`,
    )
  }
  return trusted
}

/** Every key of the list: what an earlier one signed can be checked with it. */
function publicKeysOf({ trust }: OpenedTrust, signer: Signer): PublicKeySet {
  const own = signer.publicKeys().keys
  const others = [...trust.keys.values()].map(({ key }) => key.jwk).filter(({ kid }) => kid !== signer.keyId)
  return { keys: [...own, ...others] }
}

/** Only once the address is had: a key that is made and never shown could not be made again. */
async function firstKeyOf(settings: Settings, store: Store, server: RunningServer): Promise<string | undefined> {
  const { organisation } = settings
  try {
    return await createFirstApiKey(store, { organisation, scopes: allScopes, clock: systemClock, ids: uuidIds })
  } catch (error) {
    await server.close(0)
    throw error
  }
}

function keepHouse(store: Store, record: MerkleLog, log: Log): NodeJS.Timeout {
  const clear = async () => {
    try {
      await catchUpLog({ store, log: record })
      await store.idempotency.purge(systemClock.now(), CLEARED_AT_ONCE)
    } catch (error) {
      log.write({ event: 'failure', requestId: null, operation: 'housekeeping', error: describeError(error) })
    }
  }
  void clear()
  return setInterval(clear, HOUSEKEEPING_MS).unref()
}

/** An address that cannot be had is an obstacle like any other. */
async function listenOrRefuse(options: ListenOptions): Promise<RunningServer> {
  try {
    return await listen(options)
  } catch (cause) {
    const sentence = `The service cannot listen on ${options.host}, port ${options.port}: ${reasonOf(cause)}.`
    throw new StartRefused([{ code: 'ERR_ADDRESS_UNAVAILABLE', sentence }], { cause })
  }
}

function reasonOf(cause: unknown): string {
  const code = cause instanceof Error && 'code' in cause ? cause.code : undefined
  switch (code) {
    case 'EADDRINUSE':
      return 'another program listens there; stop it, or set PORT to another number'
    case 'EACCES':
      return 'the system does not permit it; set PORT to a number above 1023'
    default:
      return 'this machine has no such address; set HOST to one that it has'
  }
}

function once(work: () => Promise<void>): () => Promise<void> {
  let done: Promise<void> | undefined
  return () => {
    done ??= work()
    return done
  }
}
