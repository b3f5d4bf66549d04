import type { ApiKeys, Caller } from '../ports.ts'
import { type Refusal, refuse } from './problem.ts'
import type { Scope } from './scope.ts'

/** RFC 6750 §2.1; the scheme's name in any case. */
const BEARER = /^Bearer +([A-Za-z0-9._~+/=_-]{1,200})$/i

/**
 * Who asks, if the key they send permits it.
 *
 * A missing, malformed, unknown and revoked key answer alike, so that nobody learns which prefixes exist.
 */
export async function authenticate(headers: Headers, scope: Scope, apiKeys: ApiKeys): Promise<Caller | Refusal> {
  const authorization = headers.get('authorization')
  const [, key] = BEARER.exec(authorization ?? '') ?? []
  const caller = key === undefined ? undefined : await apiKeys.authenticate(key)
  if (caller === undefined) {
    return refuse('ERR_UNAUTHENTICATED', 'Send a valid API key as Authorization: Bearer fp_…', {
      headers: { 'www-authenticate': challenge(authorization === null ? '' : ', error="invalid_token"') },
    })
  }
  if (caller.scopes.includes(scope)) return caller
  return refuse('ERR_SCOPE', `The API key lacks the scope ${scope}.`, {
    headers: { 'www-authenticate': challenge(`, error="insufficient_scope", scope="${scope}"`) },
  })
}

/** RFC 6750 §3. */
function challenge(attributes: string): string {
  return `Bearer realm="fairpull"${attributes}`
}
