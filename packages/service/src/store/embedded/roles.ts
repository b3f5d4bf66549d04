import { setTimeout as pause } from 'node:timers/promises'
import pg from 'pg'
import type { DatabaseConnection } from '../database.ts'
import { SUPERUSER } from './cluster.ts'

/** Role of the service: owns the tables, and nothing else. */
const SERVICE_ROLE = 'fairpull'

/** Role of the writer's one connection; see {@link takeWriterPlace}. */
const WRITER_ROLE = 'fairpull_writer'

/** The database that comes with a cluster; making another would double the time of the first start. */
const DATABASE = 'postgres'

/** The three ways into an embedded database. */
export interface DatabaseAccess {
  readonly superuser: DatabaseConnection
  readonly service: DatabaseConnection
  readonly writer: DatabaseConnection
}

/** Connections over the socket in this folder. */
export function accessThrough(socketFolder: string, password: string): DatabaseAccess {
  const place = { host: socketFolder, port: 5432, password }
  return {
    superuser: { ...place, user: SUPERUSER, database: DATABASE },
    service: { ...place, user: SERVICE_ROLE, database: DATABASE },
    writer: { ...place, user: WRITER_ROLE, database: DATABASE },
  }
}

/** What another process looks like that creates the same role at the same moment. */
const RACES = new Set(['23505', '42710', 'XX000'])

/** Tries until the other process is done. */
const ATTEMPTS = 50

/** Makes the roles where they are missing. */
export async function ensureRoles(access: DatabaseAccess): Promise<void> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      await withClient(access.superuser, (client) => createMissing(client, String(access.service.password)))
      return
    } catch (error) {
      const raced = error instanceof pg.DatabaseError && RACES.has(error.code ?? '')
      if (!raced || attempt === ATTEMPTS) throw error
      await pause(20)
    }
  }
}

async function createMissing(client: pg.Client, password: string): Promise<void> {
  const { rows } = await client.query<{ name: string }>('select rolname as name from pg_roles')
  const present = new Set(rows.map((row) => row.name))
  const secret = client.escapeLiteral(password)
  if (!present.has(SERVICE_ROLE)) await client.query(`create role ${SERVICE_ROLE} login password ${secret}`)
  await client.query(`grant create, usage on schema public to ${SERVICE_ROLE}`)
  if (!present.has(WRITER_ROLE)) {
    await client.query(`create role ${WRITER_ROLE} login connection limit 1 password ${secret}`)
  }
}

/** Process number of the writer, as it told the database; null when there is none. */
export async function writerProcess(access: DatabaseAccess): Promise<string | null> {
  return withClient(access.superuser, async (client) => {
    const { rows } = await client.query<{ name: string }>(
      'select application_name as name from pg_stat_activity where usename = $1',
      [WRITER_ROLE],
    )
    return rows[0]?.name ?? null
  })
}

async function withClient<T>(connection: DatabaseConnection, work: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = new pg.Client(connection)
  client.on('error', () => undefined)
  await client.connect()
  try {
    return await work(client)
  } finally {
    await client.end()
  }
}
