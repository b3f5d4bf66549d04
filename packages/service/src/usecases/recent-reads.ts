import type { Clock } from '../ports.ts'

/** What was read a moment ago, so that many readers of one thing cost the store one read. */
export interface RecentReads<T> {
  /** What is under a key: as last read, when that was recent; else read now, once for all who ask meanwhile. */
  read(key: string): Promise<T>
  /** Has the next reader read anew, after this process changed what is there. */
  forget(key: string): void
}

/** How it keeps what was read. */
export interface RecentReadsLimits {
  /** How old an answer may be; another process may have changed what is there since. [ms] */
  readonly age_ms: number
  /** Keys that are kept at most; those read least recently go first. */
  readonly most: number
}

interface Reading<T> {
  readonly at_ms: number
  readonly value: Promise<T>
}

/** Keeps what `load` reads. A read that failed is not kept. */
export function createRecentReads<T>(
  load: (key: string) => Promise<T>,
  clock: Clock,
  { age_ms, most }: RecentReadsLimits,
): RecentReads<T> {
  const readings = new Map<string, Reading<T>>()
  const begin = (key: string, at_ms: number): Reading<T> => {
    const reading = { at_ms, value: load(key) }
    reading.value.catch(() => {
      if (readings.get(key) === reading) readings.delete(key)
    })
    return reading
  }
  return {
    read: (key) => {
      const now_ms = clock.now().getTime()
      const known = readings.get(key)
      const isRecent = known !== undefined && Math.abs(now_ms - known.at_ms) < age_ms
      const reading = isRecent ? known : begin(key, now_ms)
      // The order of a map is that of insertion: what is read goes to its end.
      readings.delete(key)
      readings.set(key, reading)
      const [oldest] = readings.keys()
      if (readings.size > most && oldest !== undefined) readings.delete(oldest)
      return reading.value
    },
    forget: (key) => {
      readings.delete(key)
    },
  }
}
