import { v7 } from 'uuid'
import type { Ids } from '../ports.ts'

/** UUIDs of version 7 (RFC 9562): they begin with their time and rise within one process. */
export const uuidIds: Ids = { next: () => v7() }
