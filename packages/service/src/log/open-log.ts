/** The log of this service, opened at start. */
import { join } from 'node:path'
import type { SigningKey } from '@fairpull/sdk/verify'
import type { MerkleLog } from '../ports.ts'
import { openKey } from '../signing/key-file.ts'
import { StartRefused } from '../store/failure.ts'
import { createMarkFile, type HighWaterMark } from './high-water-mark.ts'
import { LogStopped } from './log-stopped.ts'
import type { LogStorage } from './log-storage.ts'
import { createMerkleLog, EMPTY_ROOT } from './merkle-log.ts'

/** File of the log's key in the folder of keys. */
const LOG_KEY_FILE = 'log-key.json'

/** Where the log is, and what may be set about it. */
export interface LogPlace {
  readonly storage: LogStorage
  readonly dataFolder: string
  /** Folder of keys. */
  readonly keyFolder: string
  /** Identity of the log; made from its key when absent. Fixed by the first start. */
  readonly origin: string | undefined
  /** Told in one sentence what an operator has to know. */
  readonly notify: (sentence: string) => void
}

/** An opened log. */
export interface OpenedLog {
  readonly log: MerkleLog
  readonly origin: string
  readonly key: SigningKey
}

/** The file of the high-water mark. */
export function markOf(dataFolder: string): HighWaterMark {
  return createMarkFile(join(dataFolder, 'log-high-water-mark.json'))
}

/**
 * Opens the log; at the first start of a database it is made, and its origin fixed.
 *
 * A log that was found altered or older than what was signed does not keep the service from starting: what is stored can be
 * read, nothing is signed, and the operator is told.
 *
 * @throws StartRefused when the origin that is set is not that of the log, or the key cannot be used.
 */
export async function openLog(place: LogPlace): Promise<OpenedLog> {
  const { storage, dataFolder, keyFolder, notify } = place
  const key = await openKey(keyFolder, LOG_KEY_FILE)
  const { origin } = await storage.open(place.origin ?? `log-${key.kid.slice(0, 16)}.fairpull.invalid`, EMPTY_ROOT)
  if (place.origin !== undefined && place.origin !== origin) throw otherOrigin(place.origin, origin)
  const log = createMerkleLog({ storage, key, mark: markOf(dataFolder) })
  try {
    await log.checkpoint()
  } catch (error) {
    if (!(error instanceof LogStopped)) throw error
    notify(`The log has stopped: ${error.message}. Run "fairpull-service log check".`)
  }
  return { log, origin, key }
}

function otherOrigin(asked: string, present: string): StartRefused {
  const sentence = `FAIRPULL_LOG_ORIGIN is ${asked}, but the log of this database is ${present}: a log never changes its name.`
  return new StartRefused([{ code: 'ERR_LOG_ORIGIN', sentence }])
}
