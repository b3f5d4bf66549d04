/**
 * Why a log stopped.
 *
 * - `ERR_LOG_OTHER_ORIGIN`: the database holds another log than was signed here.
 * - `ERR_LOG_SMALLER`: it holds fewer entries than were signed: a backup was restored.
 * - `ERR_LOG_OTHER_TREE`: it does not continue the tree that was signed.
 * - `ERR_LOG_ENTRY_ALTERED`: an entry is not the one that the tree stands for.
 * - `ERR_LOG_TILES_ALTERED`: the tiles do not lead to the root hash, or are missing.
 */
export type LogStopCode =
  | 'ERR_LOG_OTHER_ORIGIN'
  | 'ERR_LOG_SMALLER'
  | 'ERR_LOG_OTHER_TREE'
  | 'ERR_LOG_ENTRY_ALTERED'
  | 'ERR_LOG_TILES_ALTERED'

/** What was found. */
export interface LogFault {
  readonly code: LogStopCode
  /** In one sentence, of sizes, indices and origins only. */
  readonly detail: string
}

/** A fault in the form in which it is kept beside the head: its code, and what was found. */
export function faultText({ code, detail }: LogFault): string {
  return `${code}: ${detail}`
}

/** The log takes no entries and signs nothing until an operator has looked at it. Its message is the text of the fault. */
export class LogStopped extends Error {
  override readonly name = 'LogStopped'
  readonly code = 'ERR_LOG_STOPPED'
}
