// Appends to the log for a while, several clients at once, and prints how many entries were acknowledged in which time.
// `together`: one log for all clients, as in a replica; `single`: each client commits its own entries, one at a time.
import { randomBytes } from 'node:crypto'
import { createMerkleLog } from '../../../packages/service/dist/src/log/merkle-log.js'
import { openDatabase } from '../../../packages/service/dist/src/store/database.js'
import { createLogStorage } from '../../../packages/service/dist/src/store/log-tables.js'

const [, , mode, clients, duration_ms, connection] = process.argv
const db = openDatabase(JSON.parse(connection), () => undefined)
const storage = createLogStorage(db)
// Appending neither signs nor marks: that is done where a checkpoint is asked for.
const newLog = () => createMerkleLog({ storage })
const shared = newLog()

const start = performance.now()
let acknowledged = 0
async function client() {
  const log = mode === 'together' ? shared : newLog()
  while (performance.now() - start < Number(duration_ms)) {
    await log.append([randomBytes(52)])
    acknowledged += 1
  }
}
await Promise.all(Array.from({ length: Number(clients) }, client))
process.stdout.write(JSON.stringify({ acknowledged, ms: performance.now() - start }))
await db.destroy()
