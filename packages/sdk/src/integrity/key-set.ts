import { importPublicKey, type KeyCode, type VerificationKey } from './ed25519-key.ts'
import { isJsonObject } from './json-object.ts'
import { accepted, type Outcome, refused } from './outcome.ts'

/** Why a key set was refused. */
export type KeySetCode = KeyCode | 'ERR_KEY_SET_FORM' | 'ERR_KEY_SET_DUPLICATE_KEY'

/**
 * Imports a JSON Web Key Set (RFC 7517 §5), for example the one an issuer publishes.
 *
 * These keys show that a signature is intact, not whose it is: who hands over a forged summary can hand over its key set.
 *
 * @param keySet a JSON value, taken as hostile; one bad or doubled key refuses the whole set. Never throws.
 */
export async function readKeySet(keySet: unknown): Promise<Outcome<readonly VerificationKey[], KeySetCode>> {
  if (!isJsonObject(keySet) || !Array.isArray(keySet.keys)) {
    return refused('ERR_KEY_SET_FORM', 'a key set is an object with a list `keys`')
  }
  const keys: VerificationKey[] = []
  for (const [index, jwk] of keySet.keys.entries()) {
    const key = await importPublicKey(jwk)
    if (!key.ok) return refused(key.problem.code, key.problem.detail, `/keys/${index}${key.problem.pointer}`)
    if (keys.some(({ kid }) => kid === key.value.kid)) {
      return refused('ERR_KEY_SET_DUPLICATE_KEY', 'the key occurs twice', `/keys/${index}`)
    }
    keys.push(key.value)
  }
  return accepted(keys)
}
