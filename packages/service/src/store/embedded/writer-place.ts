import { setTimeout as pause } from 'node:timers/promises'
import pg from 'pg'
import type { DatabaseConnection } from '../database.ts'

/** SQLSTATE of a connection beyond a limit. */
const TOO_MANY_CONNECTIONS = '53300'

/** How long a place is waited for: the database needs a moment to notice that its last holder is dead. [ms] */
const PATIENCE_MS = 1_000

/** Between tries. [ms] */
const PAUSE_MS = 20

/**
 * Takes the place of the one process that writes to a data folder, or learns that another process has it.
 *
 * The place is a connection under a role that may have one connection only, so the database itself keeps the count.
 * It ends with the process that holds it, however that dies, and needs no lock file that could be left behind.
 *
 * @param onLost told when the connection ends by itself: the database was stopped or killed.
 * @returns false when another process holds the place.
 */
export async function takeWriterPlace(connection: DatabaseConnection, onLost: () => void): Promise<boolean> {
  const end = performance.now() + PATIENCE_MS
  for (;;) {
    const taken = await tryWriterPlace(connection, onLost)
    if (taken || performance.now() > end) return taken
    await pause(PAUSE_MS)
  }
}

async function tryWriterPlace(connection: DatabaseConnection, onLost: () => void): Promise<boolean> {
  const client = new pg.Client({ ...connection, application_name: String(process.pid) })
  client.on('error', () => undefined)
  try {
    await client.connect()
  } catch (error) {
    await client.end().catch(() => undefined)
    if (error instanceof pg.DatabaseError && error.code === TOO_MANY_CONNECTIONS) return false
    throw error
  }
  client.once('end', onLost)
  return true
}
