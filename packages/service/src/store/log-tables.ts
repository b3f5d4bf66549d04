/** The log in the database: one row of the head, one per entry, one per tile. */
import { sql } from 'kysely'
import type { HeldLog, LogHead, LogStorage, StoredTile } from '../log/log-storage.ts'
import { noteOfService } from './audit.ts'
import { type Database, type DatabaseTransaction, inTransaction, throughOutage } from './database.ts'
import { StoreError } from './failure.ts'
import type { LogHeadRow } from './log-schema.ts'

/** The statements that make the tables; each idempotent, never edited once released. */
export const LOG_MIGRATIONS = [
  {
    name: '0301 log head',
    statement: `create table if not exists log_head (
      "only" boolean primary key, origin text not null, size bigint not null, root bytea not null, stopped text)`,
  },
  {
    name: '0302 log entries',
    statement: `create table if not exists log_entries (
      index bigint primary key, leaf bytea not null, entry bytea not null)`,
  },
  {
    name: '0303 log entries by leaf',
    statement: 'create unique index if not exists log_entries_leaf on log_entries (leaf)',
  },
  {
    name: '0304 log tiles',
    statement: `create table if not exists log_tiles (
      level integer not null, index bigint not null, hashes bytea not null, primary key (level, index))`,
  },
  {
    name: '0305 log tiles: hashes as they are',
    statement: 'alter table log_tiles alter column hashes set storage external',
  },
] as const

/** How long an append outlasts a database that restarts. [ms] */
const OUTAGE_PATIENCE_MS = 8_000

/** The log's storage. Appends may be repeated, since an entry keeps its place, so a lost database is outlasted. */
export function createLogStorage(db: Database): LogStorage {
  return {
    open: async (origin, emptyRoot) => {
      await db
        .insertInto('log_head')
        .values({ only: true, origin, size: 0, root: Buffer.from(emptyRoot), stopped: null })
        .onConflict((conflict) => conflict.column('only').doNothing())
        .execute()
      return readHead(db)
    },
    head: () => throughOutage(OUTAGE_PATIENCE_MS, () => readHead(db)),
    extend: (work) =>
      throughOutage(OUTAGE_PATIENCE_MS, () =>
        inTransaction(db, async (transaction) => work(await heldLog(transaction))),
      ),
    tile: (level, index) => throughOutage(OUTAGE_PATIENCE_MS, () => readTile(db, level, index)),
    entries: async (from, to) => {
      const rows = await db
        .selectFrom('log_entries')
        .select('entry')
        .where('index', '>=', from)
        .where('index', '<', to)
        .orderBy('index')
        .execute()
      return rows.map(({ entry }) => entry)
    },
    stop: async (reason) => {
      const changed = db.updateTable('log_head').set({ stopped: reason }).where('stopped', 'is', null)
      if ((await changed.executeTakeFirst()).numUpdatedRows > 0n) await noteOfService(db, 'log-stopped')
    },
    resume: async () => {
      const changed = db.updateTable('log_head').set({ stopped: null }).where('stopped', 'is not', null)
      if ((await changed.executeTakeFirst()).numUpdatedRows > 0n) await noteOfService(db, 'log-resumed')
    },
  }
}

async function readHead(db: Database): Promise<LogHead> {
  return headOf(await db.selectFrom('log_head').selectAll().executeTakeFirst())
}

function headOf(row: LogHeadRow | undefined): LogHead {
  if (row === undefined) throw new StoreError('ERR_STORE_REFUSED', 'the log has no head')
  return { origin: row.origin, size: Number(row.size), root: row.root, stopped: row.stopped }
}

async function readTile(db: Database, level: number, index: number): Promise<Uint8Array | undefined> {
  const row = await db
    .selectFrom('log_tiles')
    .select('hashes')
    .where('level', '=', level)
    .where('index', '=', index)
    .executeTakeFirst()
  return row?.hashes
}

async function heldLog(transaction: DatabaseTransaction): Promise<HeldLog> {
  const head = headOf(await transaction.selectFrom('log_head').selectAll().forUpdate().executeTakeFirst())
  return {
    head,
    tile: (level, index) => readTile(transaction, level, index),
    indicesOf: async (leaves) => {
      const { rows } = await sql<{ index: string; leaf: Uint8Array }>`
        select index, leaf from log_entries where leaf = any(${buffers(leaves)}::bytea[])`.execute(transaction)
      return new Map(rows.map(({ index, leaf }) => [Buffer.from(leaf).toString('hex'), Number(index)]))
    },
    write: async ({ entries, tiles, size, root }) => {
      const indices = entries.map(({ index }) => index)
      const leaves = buffers(entries.map(({ leaf }) => leaf))
      const contents = buffers(entries.map(({ entry }) => entry))
      await sql`insert into log_entries (index, leaf, entry)
        select * from unnest(${indices}::bigint[], ${leaves}::bytea[], ${contents}::bytea[])`.execute(transaction)
      await writeTiles(transaction, tiles)
      await transaction
        .updateTable('log_head')
        .set({ size, root: Buffer.from(root) })
        .execute()
    },
  }
}

async function writeTiles(transaction: DatabaseTransaction, tiles: readonly StoredTile[]): Promise<void> {
  const levels = tiles.map(({ level }) => level)
  const indices = tiles.map(({ index }) => index)
  const hashes = buffers(tiles.map((tile) => tile.hashes))
  await sql`insert into log_tiles (level, index, hashes)
    select * from unnest(${levels}::integer[], ${indices}::bigint[], ${hashes}::bytea[])
    on conflict (level, index) do update set hashes = excluded.hashes`.execute(transaction)
}

/** The driver writes bytes of an array only when they are a Buffer. */
function buffers(parts: readonly Uint8Array[]): readonly Buffer[] {
  return parts.map((part) => Buffer.from(part))
}
