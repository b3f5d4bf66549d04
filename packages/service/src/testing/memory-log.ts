/** The storage of the log, kept in memory, and a log over it. */
import type { SigningKey } from '@fairpull/sdk/verify'
import type { HighWaterMark, Mark } from '../log/high-water-mark.ts'
import type { LogHead, LogStorage } from '../log/log-storage.ts'
import { createMerkleLog, EMPTY_ROOT } from '../log/merkle-log.ts'
import type { MerkleLog } from '../ports.ts'

/** A storage in memory, and what a test may look at or alter. */
export interface MemoryLogStorage extends LogStorage {
  readonly entriesKept: Uint8Array[]
  readonly tilesKept: Map<string, Uint8Array>
  /** Replaces parts of the head, as somebody with the database could. */
  alterHead(parts: Partial<LogHead>): void
}

export function createMemoryLogStorage(origin = 'log.example.org'): MemoryLogStorage {
  const entriesKept: Uint8Array[] = []
  const tilesKept = new Map<string, Uint8Array>()
  const places = new Map<string, number>()
  const state: { head: LogHead; turn: Promise<unknown> } = {
    head: { origin, size: 0, root: EMPTY_ROOT, stopped: null },
    turn: Promise.resolve(),
  }
  const hex = (bytes: Uint8Array) => Buffer.from(bytes).toString('hex')
  const tile = async (level: number, index: number) => tilesKept.get(`${level}/${index}`)
  return {
    entriesKept,
    tilesKept,
    alterHead: (parts) => {
      state.head = { ...state.head, ...parts }
    },
    open: async () => state.head,
    head: async () => state.head,
    tile,
    entries: async (from, to) => entriesKept.slice(from, to),
    stop: async (reason) => {
      state.head = { ...state.head, stopped: state.head.stopped ?? reason }
    },
    resume: async () => {
      state.head = { ...state.head, stopped: null }
    },
    extend: (work) => {
      const done = state.turn.then(() =>
        work({
          head: state.head,
          tile,
          indicesOf: async (leaves) =>
            new Map(leaves.map(hex).flatMap((name) => (places.has(name) ? [[name, places.get(name) ?? -1]] : []))),
          write: async ({ entries, tiles, size, root }) => {
            for (const { entry, leaf, index } of entries) {
              entriesKept.push(entry)
              places.set(hex(leaf), index)
            }
            for (const { level, index, hashes } of tiles) tilesKept.set(`${level}/${index}`, hashes)
            state.head = { ...state.head, size, root }
          },
        }),
      )
      state.turn = done.catch(() => undefined)
      return done
    },
  }
}

/** A mark in memory. */
export function createMemoryMark(): HighWaterMark {
  const kept: { mark: Mark | undefined } = { mark: undefined }
  return {
    read: async () => kept.mark,
    write: async (mark) => {
      kept.mark = mark
    },
  }
}

/** A log in memory. */
export function createMemoryLog(storage: LogStorage, key: SigningKey): MerkleLog {
  return createMerkleLog({ storage, key, mark: createMemoryMark() })
}
