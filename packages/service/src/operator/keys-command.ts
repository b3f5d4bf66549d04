/** `fairpull-service keys`: API keys of an organisation. */
import { allScopes } from '../http/scope.ts'
import { createApiKey } from '../store/api-key-text.ts'
import { uuidIds } from '../store/ids.ts'
import { type Console, columns, Misuse } from './console.ts'
import { needed, type OperatorWorld, organisationNamed } from './operator-world.ts'
import type { Options } from './options.ts'

/** Keys that may be active at once: the one in use, and the one that takes over. */
const ACTIVE_AT_ONCE = 2

/** Lists, adds and revokes. Each change leaves an audit entry in the same transaction. */
export async function keysCommand(verb: string, given: Options, world: OperatorWorld): Promise<number> {
  switch (verb) {
    case 'list':
      return list(given, world)
    case 'add':
      return add(given, world)
    case 'revoke':
      return revoke(given, world)
    default:
      throw new Misuse(`There is no "keys ${verb}"; there are list, add and revoke.`)
  }
}

async function list(given: Options, { store, console }: OperatorWorld): Promise<number> {
  const { id } = await organisationNamed(given, store)
  const keys = await store.apiKeys.list(id)
  const rows = keys.map((key) => [
    key.id,
    `fp_${key.prefix}_…`,
    key.createdAt.toISOString(),
    key.revokedAt === null ? 'active' : `revoked ${key.revokedAt.toISOString()}`,
    key.scopes.join(','),
  ])
  for (const line of columns(rows)) console.print(line)
  return 0
}

async function add(given: Options, { store, console }: OperatorWorld): Promise<number> {
  const { id: tenant, name } = await organisationNamed(given, store)
  const scopes = scopesIn(given.scopes, console)
  const { text, prefix, secretDigest } = createApiKey()
  const key = { tenant, id: uuidIds.next(), prefix, secretDigest, scopes, createdAt: new Date() }
  if (!(await store.apiKeys.add(key, ACTIVE_AT_ONCE))) {
    throw new Misuse(`${name} has ${ACTIVE_AT_ONCE} active keys; revoke one first with "fairpull-service keys revoke".`)
  }
  console.say(`API key ${key.id} of ${name}, shown this once:`)
  console.print(text)
  return 0
}

async function revoke(given: Options, { store, console }: OperatorWorld): Promise<number> {
  const { id, name } = await organisationNamed(given, store)
  const key = needed(given, 'key')
  if (!(await store.apiKeys.revoke(id, key, new Date()))) throw new Misuse(`${name} has no active key ${key}.`)
  console.say(`Revoked; every replica refuses it from now on.`)
  return 0
}

function scopesIn(text: string | undefined, console: Console): readonly string[] {
  if (text === undefined) {
    console.say('The key permits everything; give --scopes to permit less.')
    return allScopes
  }
  const scopes = text.split(',')
  const unknown = scopes.filter((scope) => !(allScopes as readonly string[]).includes(scope))
  if (unknown.length > 0) throw new Misuse(`Unknown scopes: ${unknown.join(', ')}; there are ${allScopes.join(', ')}.`)
  return scopes
}
