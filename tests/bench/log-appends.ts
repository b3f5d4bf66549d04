/** F4: what gathering appends is worth. */
import { execFile } from 'node:child_process'
import { createHash } from 'node:crypto'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { openDatabase } from '../../packages/service/src/store/database.ts'
import { startEmbeddedPostgres } from '../../packages/service/src/store/embedded-postgres.ts'
import { createLogStorage } from '../../packages/service/src/store/log-tables.ts'
import { migrate } from '../../packages/service/src/store/migrations.ts'
import { temporaryDataFolder } from '../faults/support/data-folder.ts'
import { root } from '../support/source-files.ts'
import { median } from './figures.ts'
import { against, type Row } from './results-page.ts'

const [PROCESSES, CLIENTS, ROUNDS, ROUND_MS, LEAST] = [2, 8, 3, 3_000, 7]

/** Appends of two processes with eight clients each, gathered and one by one, in turn. */
export async function logAppends(): Promise<Row> {
  const folder = await temporaryDataFolder()
  const database = await startEmbeddedPostgres({
    dataFolder: folder.path,
    notify: () => undefined,
    onLost: () => undefined,
  })
  const db = openDatabase(database.connection, () => undefined)
  try {
    await migrate(db, new Date())
    await createLogStorage(db).open('log.bench.invalid', createHash('sha256').digest())
    const connection = JSON.stringify(database.connection)
    const pairs: (readonly [together: number, single: number])[] = []
    for (let round = -1; round < ROUNDS; round += 1) {
      const pair = [await perSecond('together', connection), await perSecond('single', connection)] as const
      if (round >= 0) pairs.push(pair)
    }
    const ratio = median(pairs.map(([together, single]) => together / single))
    const [together, single] = [median(pairs.map(([first]) => first)), median(pairs.map(([, second]) => second))]
    return {
      what: `log appends, ${PROCESSES} × ${CLIENTS} clients, against one entry a transaction`,
      figure: `${ratio.toFixed(1)} × (${together.toFixed(0)} against ${single.toFixed(0)} entries a second)`,
      target: against(`F4 ≥ ${LEAST} ×`, ratio >= LEAST),
    }
  } finally {
    await db.destroy()
    await database.stop()
    await folder.remove()
  }
}

/** Entries that all processes together had acknowledged in a second. */
async function perSecond(mode: 'together' | 'single', connection: string): Promise<number> {
  const program = join(root, 'tests/bench/programs/append.mjs')
  const args = [program, mode, String(CLIENTS), String(ROUND_MS), connection]
  const ended = await Promise.all(
    Array.from({ length: PROCESSES }, () => promisify(execFile)(process.execPath, args, { cwd: root })),
  )
  return ended.reduce((sum, { stdout }) => {
    const { acknowledged, ms } = JSON.parse(stdout) as { acknowledged: number; ms: number }
    return sum + (1000 * acknowledged) / ms
  }, 0)
}
