import type { Clock, Ids, Store } from '../ports.ts'
import { createApiKey } from './api-key-text.ts'

/** What the first API key is made of. */
export interface FirstApiKeyRequest {
  /** Name of the first organisation. */
  readonly organisation: string
  /** What the key permits. */
  readonly scopes: readonly string[]
  readonly clock: Clock
  readonly ids: Ids
}

/**
 * Makes the first organisation and its API key, once in the life of a store.
 *
 * @returns the text of the key, to be shown once, since only its digest is kept; undefined at every later start.
 */
export async function createFirstApiKey(
  store: Pick<Store, 'apiKeys'>,
  { organisation, scopes, clock, ids }: FirstApiKeyRequest,
): Promise<string | undefined> {
  const { text, prefix, secretDigest } = createApiKey()
  const tenant = ids.next()
  const key = { tenant, id: ids.next(), prefix, secretDigest, scopes, createdAt: clock.now() }
  const isFirst = await store.apiKeys.createFirst({ id: tenant, name: organisation }, key)
  return isFirst ? text : undefined
}
