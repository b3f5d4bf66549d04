import { createHash } from 'node:crypto'
import type { TreeHash } from '@fairpull/sdk/verify'

/** SHA-256 without waiting: many hashes are made for one entry. */
export function sha256Now(bytes: Uint8Array): TreeHash {
  return createHash('sha256').update(bytes).digest()
}
