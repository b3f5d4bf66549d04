/** Where the log is kept. One implementation on PostgreSQL, one in memory for tests. */
import type { TreeHash } from '@fairpull/sdk/verify'

/** The head of the log as it was committed. */
export interface LogHead {
  /** Identity of the log; never changes. */
  readonly origin: string
  /** Entries in it. */
  readonly size: number
  /** Root hash of the tree. */
  readonly root: TreeHash
  /** Why it takes no entries; null while it does. */
  readonly stopped: string | null
}

/** The hashes of one tile, so many as it has. */
export interface StoredTile {
  readonly level: number
  readonly index: number
  /** The hashes one after the other, up to 256 of 32 bytes. */
  readonly hashes: Uint8Array
}

/** An entry about to be kept. */
export interface NewLogEntry {
  readonly index: number
  readonly leaf: TreeHash
  readonly entry: Uint8Array
}

/** What one append leaves behind. */
export interface LogExtension {
  readonly entries: readonly NewLogEntry[]
  readonly tiles: readonly StoredTile[]
  readonly size: number
  readonly root: TreeHash
}

/** The log while one transaction holds its head. */
export interface HeldLog {
  readonly head: LogHead
  /** Indices of those leaves that are in the log already, by their hex digits. */
  indicesOf(leaves: readonly TreeHash[]): Promise<ReadonlyMap<string, number>>
  tile(level: number, index: number): Promise<Uint8Array | undefined>
  write(extension: LogExtension): Promise<void>
}

/** Where the log is kept. Every method may throw a `StoreError`. */
export interface LogStorage {
  /** The head; an empty log under this origin is made when there is none. */
  open(origin: string, emptyRoot: TreeHash): Promise<LogHead>
  head(): Promise<LogHead>
  /** Does `work` in one transaction that holds the head; only one does at a time. `work` may run again. */
  extend<T>(work: (held: HeldLog) => Promise<T>): Promise<T>
  tile(level: number, index: number): Promise<Uint8Array | undefined>
  /** Entries from one index to before another, in order. */
  entries(from: number, to: number): Promise<readonly Uint8Array[]>
  /** Stops the log on all replicas; the first reason stays. */
  stop(reason: string): Promise<void>
  /** Lets it take entries again. */
  resume(): Promise<void>
}
