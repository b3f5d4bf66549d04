import { randomBytes } from 'node:crypto'
import type { Secrets } from '../plan-ports.ts'

/** Secrets from the random source of the system. */
export const randomSecrets: Secrets = { next: () => randomBytes(32).toString('hex') }
