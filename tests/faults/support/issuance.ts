import { createHash } from 'node:crypto'
import type { Issuance } from '../../../packages/service/src/ports.ts'
import { uuidIds } from '../../../packages/service/src/store/ids.ts'

/** The organisation of the tests. */
export const TENANT = '01930000-0000-7000-8000-000000000001'

/** Some moment; only its order matters. */
export const NOW = new Date('2026-03-01T10:00:00.000Z')

/** SHA-256 of a text. */
export function digestOf(text: string): Uint8Array {
  return createHash('sha256').update(text).digest()
}

/** All byte values, several times over, so that no encoding on the way goes unnoticed. */
export function bytesOf(text: string): Uint8Array {
  const all = Uint8Array.from({ length: 512 }, (_, index) => index % 256)
  return Buffer.concat([Buffer.from(text), all])
}

/** Text of the request that carries a key; its first answer is recorded. */
export interface IssuanceParts {
  readonly tenant?: string
  readonly key?: string | null
  readonly request?: string
  readonly id?: string
  readonly expiresAt?: Date
  readonly at?: Date
  readonly runs?: readonly string[]
}

/** What one request would leave behind: its bytes follow from `request` and from the fresh identity. */
export function issuanceOf(parts: IssuanceParts = {}): Issuance {
  const { tenant = TENANT, key = 'key-1', request = 'request-1', id = uuidIds.next(), at = NOW } = parts
  const expiresAt = parts.expiresAt ?? new Date(at.getTime() + 86_400_000)
  const runs = (parts.runs ?? [`run of ${request}`, 'a run that all share']).map((text) => ({
    digest: digestOf(text),
    bytes: bytesOf(text),
  }))
  return {
    tenant,
    idempotency: key === null ? null : { key, requestDigest: digestOf(request), expiresAt },
    assessment: {
      id,
      createdAt: at,
      jws: `eyJ.${Buffer.from(`${request} ${id}`).toString('base64url')}.c2ln`,
      payload: bytesOf(`${request}|${id}`),
      comparison: bytesOf(`comparison of ${request}`),
      comparisonDigest: digestOf(`comparison of ${request}`),
    },
    runs,
    response: { status: 201, headers: { location: `/v1/assessments/${id}` }, body: bytesOf(`answer ${id}`) },
  }
}
