/** Who holds a data folder: one process, whatever became of the one before. */
import { spawn } from 'node:child_process'
import { chown, readdir, rm, stat, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { sql } from 'kysely'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { openDatabase } from '../../packages/service/src/store/database.ts'
import { findPostmaster } from '../../packages/service/src/store/embedded/postmaster.ts'
import { type EmbeddedPostgres, startEmbeddedPostgres } from '../../packages/service/src/store/embedded-postgres.ts'
import { openStore } from '../../packages/service/src/store/store.ts'
import { type Bundle, bundle } from './support/bundle.ts'
import { type Child, startWriter } from './support/child.ts'
import {
  copyOf,
  type DataFolder,
  postmasterPid,
  preparedDataFolder,
  temporaryDataFolder,
} from './support/data-folder.ts'
import { issuanceOf } from './support/issuance.ts'

let script: Bundle
let prepared: DataFolder
let folder: DataFolder
let children: Child[]

beforeAll(async () => {
  script = await bundle('writer.ts')
  prepared = await preparedDataFolder()
})

afterAll(async () => {
  await script.remove()
  await prepared.remove()
})

beforeEach(async () => {
  folder = await copyOf(prepared)
  children = []
})

afterEach(async () => {
  for (const child of children) await child.kill()
  await folder.remove()
})

const options = () => ({ dataFolder: folder.path, notify: () => undefined, onLost: () => undefined })

function writer(): Child {
  const child = startWriter(script.file, folder.path)
  children.push(child)
  return child
}

/** The refusal of a start, as the operator reads it. */
async function refusalOf(start: Promise<EmbeddedPostgres>): Promise<string> {
  try {
    await (await start).stop()
  } catch (error) {
    if (error instanceof Error) return error.message
  }
  throw new Error('the start was not refused')
}

describe('the database of a killed service', () => {
  test('goes on running and is adopted by the next one', async () => {
    const killed = writer()
    await killed.until(({ kind }) => kind === 'acknowledged')
    const pid = await postmasterPid(folder.cluster)
    await killed.kill()
    expect(await postmasterPid(folder.cluster)).toBe(pid)

    const sentences: string[] = []
    const next = await startEmbeddedPostgres({ ...options(), notify: (sentence) => sentences.push(sentence) })
    expect(next.adopted).toBe(true)
    expect(sentences).toEqual(['The database of an earlier service still runs and is used again.'])
    expect(await postmasterPid(folder.cluster)).toBe(pid)
    await next.stop()
    expect(await findPostmaster(folder.cluster)).toBeUndefined()
  })

  test('is replaced when it cannot be reached any more because its socket was deleted', async () => {
    const killed = writer()
    await killed.until(({ kind }) => kind === 'ready')
    const pid = await postmasterPid(folder.cluster)
    await killed.kill()
    await rm(join(folder.path, 'socket', '.s.PGSQL.5432'))

    const next = await startEmbeddedPostgres(options())
    expect(next.adopted).toBe(false)
    expect(await postmasterPid(folder.cluster)).not.toBe(pid)
    await next.stop()
  })

  test('does not stand in the way when its process number has gone to another program', async () => {
    const { uid, gid } = await stat(folder.cluster)
    const otherProgram = spawn('sleep', ['60'], { uid, gid })
    const lockFile = join(folder.cluster, 'postmaster.pid')
    const socketFolder = join(folder.path, 'socket')
    const lines = [otherProgram.pid, folder.cluster, 1795610907, 5432, socketFolder, '', '  2146348 4', 'ready   ', '']
    await writeFile(lockFile, lines.join('\n'), { mode: 0o600 })
    await chown(lockFile, uid, gid)

    const next = await startEmbeddedPostgres(options())
    expect(next.adopted).toBe(false)
    await next.stop()
    otherProgram.kill()
  })
})

describe('a second service on one data folder', () => {
  test('is refused with a sentence that names the folder and the process that holds it', async () => {
    const store = await openStore(options())
    const second = writer()
    const refusal = await second.until(({ kind }) => kind === 'refused')
    expect(refusal).toEqual({
      kind: 'refused',
      message: `Another Fairpull service (process ${process.pid}) is using the data folder ${folder.path}: stop it first, or set FAIRPULL_DATA to another folder.`,
    })
    expect((await store.issue(issuanceOf())).outcome).toBe('issued')
    await store.close()
  })

  test('of two that start on a new folder at once, one serves and one is refused', async () => {
    await folder.remove()
    folder = await temporaryDataFolder()
    const starting = [writer(), writer()]
    const outcomes = await Promise.all(
      starting.map(async (child) => (await child.until(({ kind }) => kind === 'ready' || kind === 'refused')).kind),
    )
    expect(outcomes.sort()).toEqual(['ready', 'refused'])
  })
})

describe('what lies in a data folder', () => {
  test('runs durable, closed and independent of the system it is on', async () => {
    const database = await startEmbeddedPostgres(options())
    const db = openDatabase(database.connection, () => undefined)
    const setting = async (name: string) => {
      const { rows } = await sql<{ value: string }>`select current_setting(${name}) as value`.execute(db)
      return rows[0]?.value
    }
    expect(await setting('fsync')).toBe('on')
    expect(await setting('synchronous_commit')).toBe('on')
    expect(await setting('full_page_writes')).toBe('on')
    expect(await setting('data_checksums')).toBe('on')
    expect(await setting('listen_addresses')).toBe('')
    expect(await setting('server_encoding')).toBe('UTF8')
    const { rows } = await sql<{ order: string }>`
      select string_agg(letter, '' order by letter) as "order"
      from (values ('a'), ('B'), ('ä'), ('Z')) as letters (letter)`.execute(db)
    expect(rows[0]?.order, 'by code point, whatever the locale').toBe('BZaä')
    await expect(sql`create role other`.execute(db), 'the service is no superuser').rejects.toThrow('42501')
    await db.destroy()
    await database.stop()
  })

  test('is closed to other users, and nothing of a finished set-up is left over', async () => {
    const database = await startEmbeddedPostgres(options())
    const openToOthers: string[] = []
    for (const name of await readdir(folder.path)) {
      const { mode } = await stat(join(folder.path, name))
      if ((mode & 0o077) !== 0) openToOthers.push(name)
    }
    await database.stop()
    expect(openToOthers).toEqual([])
    expect((await readdir(folder.path)).sort()).toEqual(['database-password', 'postgres', 'postgres.log', 'socket'])
  })

  test('a lost password file is named as damage, and no empty database is put in its place', async () => {
    await rm(join(folder.path, 'database-password'))
    expect(await refusalOf(startEmbeddedPostgres(options()))).toBe(
      `The data folder ${folder.path} is damaged: ${folder.path}/database-password is missing; restore it from a backup, or move it away to start empty.`,
    )
  })

  test('a database of another major version is refused by both numbers', async () => {
    await writeFile(join(folder.cluster, 'PG_VERSION'), '17\n')
    expect(await refusalOf(startEmbeddedPostgres(options()))).toMatch(
      /written by PostgreSQL 17 and this release brings 18/,
    )
  })

  test('a database whose files are gone is refused with the end of its log', async () => {
    await rm(join(folder.cluster, 'global', 'pg_control'))
    expect(await refusalOf(startEmbeddedPostgres(options()))).toMatch(
      /^The bundled PostgreSQL does not start; the end of .*postgres\.log reads: .*could not find the database system/,
    )
  })
})
