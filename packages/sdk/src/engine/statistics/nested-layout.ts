import { EngineError } from '../engine-error.ts'

/** Runs of one unchanged machine, with where each stands. */
export interface NestedRuns {
  /** One value per run. */
  readonly values: Float64Array
  /** Mounting of each run. */
  readonly mountings: readonly string[]
  /** Day of each run's mounting; null where the days are not known. */
  readonly days: readonly string[] | null
}

/** One mounting. */
export interface NestedMounting {
  /** Number of runs. */
  readonly runs: number
  /** Their mean. */
  readonly mean: number
  /** Sum of squares about it. */
  readonly squares: number
}

/** One day with its mountings. */
export interface NestedDay {
  readonly mountings: readonly NestedMounting[]
}

/** Days over mountings over runs. */
export interface NestedLayout {
  /** Days in order of first appearance; one where nothing tells days and mountings apart. */
  readonly days: readonly NestedDay[]
  /** Number of runs, N. */
  readonly runs: number
  /** Number of mountings, J. */
  readonly mountings: number
  /** Whether the days are known and differ, and yet cannot be told from the mountings, or are not known. */
  readonly isDayInMounting: boolean
}

/**
 * Runs sorted into mountings and days. Where no day holds two mountings, or the days are not known, all mountings count as
 * of one day, and what lies between the days is found between the mountings.
 *
 * @param runs one entry per run.
 * @returns the layout. Pure.
 * @throws EngineError `ERR_LENGTH` when the lists differ in length.
 */
export function nestedLayout({ values, mountings, days }: NestedRuns): NestedLayout {
  if (mountings.length !== values.length || (days !== null && days.length !== values.length)) {
    throw new EngineError('ERR_LENGTH', 'values, mountings and days differ in length', 'mountings')
  }
  const byMounting = grouped([...values.keys()], (run) => mountings[run] ?? '')
  const byDay = grouped(byMounting, ([first]) => days?.[first ?? 0] ?? '')
  const isNested = byDay.some(({ length }) => length > 1)
  const told = isNested || byDay.length === 0 ? byDay : [byDay.flat()]
  return {
    days: told.map((inside) => ({ mountings: inside.map((runs) => mountingOf(runs, values)) })),
    runs: values.length,
    mountings: byMounting.length,
    isDayInMounting: days === null || (!isNested && byDay.length > 1),
  }
}

/** The items of each name, in the order in which the names appear. */
function grouped<T>(items: readonly T[], nameOf: (item: T) => string): readonly (readonly T[])[] {
  const groups = new Map<string, T[]>()
  for (const item of items) {
    const name = nameOf(item)
    const group = groups.get(name)
    if (group === undefined) groups.set(name, [item])
    else group.push(item)
  }
  return [...groups.values()]
}

function mountingOf(runs: readonly number[], values: Float64Array): NestedMounting {
  const own = runs.map((run) => values[run] ?? 0)
  const mean = meanOf(own)
  return { runs: own.length, mean, squares: squaresAbout(own, mean) }
}

/** Plain mean. */
export function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length
}

/** Sum of squares about a centre. */
export function squaresAbout(values: readonly number[], centre: number): number {
  return values.reduce((sum, value) => sum + (value - centre) ** 2, 0)
}

/** Means of the mountings of a day. */
export function mountingMeans({ mountings }: NestedDay): readonly number[] {
  return mountings.map(({ mean }) => mean)
}

/** Whether every mounting holds as many runs, and every day as many mountings. */
export function isBalanced({ days }: NestedLayout): boolean {
  const sizes = new Set(days.flatMap(({ mountings }) => mountings.map(({ runs }) => runs)))
  return sizes.size === 1 && new Set(days.map(({ mountings }) => mountings.length)).size === 1
}

/** Squares of relative deviations up to this, for each run, are rounding. [1] */
const ROUNDING = 1e-18

/** Whether a sum of squares of so many runs is more than rounding leaves. */
export function isScatter(squares: number, runs: number): boolean {
  return squares > runs * ROUNDING
}
