/** The tables of the log as the queries see them. */

/** Tables of the log, by name. bigint comes as text. */
export interface LogTables {
  log_head: LogHeadRow
  log_entries: { index: string | number; leaf: Uint8Array; entry: Uint8Array }
  log_tiles: { level: number; index: string | number; hashes: Uint8Array }
}

/** The one row of the head. */
export interface LogHeadRow {
  only: boolean
  origin: string
  size: string | number
  root: Uint8Array
  stopped: string | null
}
