/** Which runs share a cell: the runs of one side in one mounting. */
export interface Layout {
  /** Cell of each run, 0 … cells − 1. */
  readonly cellOf: Int32Array
  /** Number of cells. */
  readonly cells: number
  /** Mounting of each run, 0 … mountings − 1, in order of first appearance. */
  readonly mountingOf: Int32Array
  /** Runs per mounting. */
  readonly mountingSizes: Int32Array
  /** Side of each run, 0 baseline, 1 modified. */
  readonly sideOf: Int8Array
  /** Whether each mounting holds each side, [mounting] → [baseline, modified]. */
  readonly holds: readonly (readonly [boolean, boolean])[]
}

/** Side of a run as the method counts: 0 baseline, 1 modified. */
export type SideIndex = 0 | 1

/**
 * The layout of a session.
 *
 * @param sides one per run.
 * @param mountings one per run.
 * @returns the layout. Pure; never throws.
 */
export function layoutOf(sides: readonly SideIndex[], mountings: readonly string[]): Layout {
  const mountingIndex = indexer()
  const cellIndex = indexer()
  const mountingOf = Int32Array.from(mountings, (mounting) => mountingIndex.of(mounting))
  const cellOf = Int32Array.from(mountings, (mounting, i) => cellIndex.of(`${sides[i]}|${mounting}`))
  const mountingSizes = new Int32Array(mountingIndex.count())
  const holds = Array.from(mountingSizes, (): [boolean, boolean] => [false, false])
  mountingOf.forEach((mounting, i) => {
    mountingSizes[mounting] = (mountingSizes[mounting] ?? 0) + 1
    const held = holds[mounting]
    if (held !== undefined) held[sides[i] ?? 0] = true
  })
  return { cellOf, cells: cellIndex.count(), mountingOf, mountingSizes, sideOf: Int8Array.from(sides), holds }
}

function indexer() {
  const seen = new Map<string, number>()
  return {
    of: (name: string): number => {
      const known = seen.get(name)
      if (known !== undefined) return known
      seen.set(name, seen.size)
      return seen.size - 1
    },
    count: () => seen.size,
  }
}

/** Values minus the mean of their cell. */
export function centredWithinCells(values: Float64Array, { cellOf, cells }: Layout): Float64Array {
  const means = groupMeans(values, cellOf, cells)
  return values.map((value, i) => value - (means[cellOf[i] ?? 0] ?? 0))
}

/** Mean of the values of each group. */
export function groupMeans(values: Float64Array, groupOf: Int32Array, groups: number): Float64Array {
  const sums = new Float64Array(groups)
  const counts = new Float64Array(groups)
  values.forEach((value, i) => {
    const group = groupOf[i] ?? 0
    sums[group] = (sums[group] ?? 0) + value
    counts[group] = (counts[group] ?? 0) + 1
  })
  return sums.map((sum, group) => sum / (counts[group] ?? 1))
}

/** Sum of products. */
export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += (a[i] ?? 0) * (b[i] ?? 0)
  return sum
}

/** Sum of the values that fall into each mounting, squared and added up. */
export function sumOfSquaredGroupSums(values: Float64Array, groupOf: Int32Array, groups: number): number {
  const sums = new Float64Array(groups)
  values.forEach((value, i) => {
    const group = groupOf[i] ?? 0
    sums[group] = (sums[group] ?? 0) + value
  })
  return dot(sums, sums)
}
