/** A study: many simulated sessions of several kinds, scored against what is true of them. */
import type { Comparison, Result } from '@fairpull/sdk/contract'
import { createRandom } from '@fairpull/sdk/testing'

/** The engine under test. */
export type Assess = (comparison: Comparison) => Promise<Result>

/** Named sums over sessions. */
export type Tally = Readonly<Record<string, number>>

/** One kind of session. */
export interface Cell {
  /** Identity within the study. */
  readonly id: string
  /** Scores one session. */
  readonly score: (seed: number, assess: Assess) => Promise<Tally>
}

/** How large a run of the calibration is. */
export type RunSize = 'test' | 'default' | 'full'

/** Sessions of each cell, by size of the run. */
export type SessionCounts = Readonly<Record<RunSize, number>>

/** A study. */
export interface Study {
  /** Identity. */
  readonly id: string
  /** Sessions of each cell. */
  readonly sessions: SessionCounts
  /** Its kinds of session. */
  readonly cells: readonly Cell[]
  /** Its part of the results page, in Markdown. */
  readonly page: (results: CellResults) => string
}

/** Sums by cell. */
export type CellResults = ReadonlyMap<string, Tally>

/** The sum of two tallies. */
export function added(a: Tally, b: Tally): Tally {
  const names = new Set([...Object.keys(a), ...Object.keys(b)])
  return Object.fromEntries([...names].map((name) => [name, (a[name] ?? 0) + (b[name] ?? 0)]))
}

/** A named sum; 0 where nothing was counted. */
export function countOf(tally: Tally | undefined, name: string): number {
  return tally?.[name] ?? 0
}

/** A seed of its own for each label, so that cells and attempts do not draw the same numbers. */
export function childSeed(seed: number, label: string): number {
  return createRandom(seed)
    .fork(label)
    .integer(2 ** 32)
}

/** Scores consecutive seeds of a cell. */
export async function scoreCell(
  cell: Cell,
  seeds: { readonly from: number; readonly to: number },
  assess: Assess,
): Promise<Tally> {
  let sum: Tally = {}
  for (let seed = seeds.from; seed < seeds.to; seed += 1) {
    sum = added(sum, await cell.score(childSeed(seed, cell.id), assess))
  }
  return sum
}
