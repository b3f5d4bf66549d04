import type { Side } from '../../contract/index.ts'

/** Consecutive measured runs of one side in one mounting. */
export interface Block {
  /** Side of its runs. */
  readonly side: Side
  /** Number of its mounting, from 0. */
  readonly mounting: number
  /** Number of its day, from 0. */
  readonly day: number
}

/**
 * The blocks of a design written the way the trade writes it, in the order they are run.
 *
 * `A` is a block of baseline runs, `B` one of modified runs, `|` means that the machine is strapped down afresh, `/` that this
 * happens on another day. `ABA`: both changes made on the rollers. `A|A|A|B|B|B`: three strappings within each side.
 *
 * @throws RangeError for any other character, or when nothing is left.
 */
export function blocksOf(design: string): readonly Block[] {
  const blocks: Block[] = []
  let mounting = 0
  let day = 0
  for (const sign of design) {
    if (sign === '|' || sign === '/') {
      mounting += 1
      if (sign === '/') day += 1
    } else if (sign === 'A' || sign === 'B') {
      blocks.push({ side: sign === 'A' ? 'baseline' : 'modified', mounting, day })
    } else {
      throw new RangeError(`a design is written with A, B, | and /, not with ${JSON.stringify(sign)}`)
    }
  }
  if (blocks.length === 0) throw new RangeError('a design without blocks')
  return blocks
}

/** How time passes in a session. */
export interface Pace {
  /** From the start of a run to the start of the next in a block. [s] */
  readonly cadence_s: number
  /** Standard deviation of that time. [s] */
  readonly cadenceSd_s: number
  /** Extra time for changing the part, on the rollers or off them. [s] */
  readonly swap_s: number
  /** Extra time for unstrapping and strapping down again. [s] */
  readonly remounting_s: number
  /** Conditioning runs at the start of each mounting. */
  readonly conditioningRuns: number
}

/** An ordinary session: a run every three minutes, a quarter of an hour for a swap, three quarters for a strapping. */
export const ordinaryPace: Pace = {
  cadence_s: 180,
  cadenceSd_s: 8,
  swap_s: 900,
  remounting_s: 2700,
  conditioningRuns: 1,
}

/** One run with its place and time. */
export interface Slot extends Block {
  /** What it is for. */
  readonly purpose: 'measured' | 'conditioning'
  /** Conditioning runs from this one on to the next measured run; 0 for a measured run. */
  readonly conditioningLeft: number
  /** Start, from the start of the first day. [s] */
  readonly start_s: number
}

/**
 * Every run of a session in the order it is made, conditioning runs included.
 *
 * @param blocks the design.
 * @param runsPerBlock measured runs in each block.
 * @param pace how time passes.
 * @param normal source of standard normals for the jitter of the cadence.
 */
export function slotsOf(
  blocks: readonly Block[],
  runsPerBlock: number,
  pace: Pace,
  normal: () => number,
): readonly Slot[] {
  const slots: Slot[] = []
  let clock_s = 0
  blocks.forEach((block, index) => {
    const previous = blocks[index - 1]
    const isStrapped = previous?.mounting !== block.mounting
    if (previous !== undefined && previous.day !== block.day) clock_s = block.day * 86_400
    else if (previous !== undefined) {
      clock_s += (isStrapped ? pace.remounting_s : 0) + (previous.side === block.side ? 0 : pace.swap_s)
    }
    const conditioning = isStrapped ? pace.conditioningRuns : 0
    for (let run = 0; run < conditioning + runsPerBlock; run += 1) {
      const conditioningLeft = Math.max(0, conditioning - run)
      const purpose = conditioningLeft > 0 ? 'conditioning' : 'measured'
      slots.push({ ...block, purpose, conditioningLeft, start_s: Math.round(clock_s) })
      clock_s += Math.max(pace.cadence_s / 2, pace.cadence_s + pace.cadenceSd_s * normal())
    }
  })
  return slots
}

/** Longest pause that still counts as drift, in median gaps: a machine left alone stops changing. */
const LONGEST_GAP = 4

/**
 * How far drift has come at each measured run: in steps of one ordinary gap, more after a pause up to four, one at a change of
 * mounting or day.
 *
 * @param slots measured runs in order.
 * @returns one covariate per run, 0 first. [1]
 */
export function driftCovariates(slots: readonly Slot[]): readonly number[] {
  const gaps = slots.map((slot, k) => {
    const previous = slots[k - 1]
    const continues = previous !== undefined && previous.mounting === slot.mounting && previous.day === slot.day
    return continues ? slot.start_s - previous.start_s : null
  })
  const known = gaps.flatMap((gap) => gap ?? []).toSorted((a, b) => a - b)
  if (known.length === 0) return slots.map((_, k) => k)
  const middle = known.length / 2
  const median = ((known[Math.floor(middle - 0.5)] ?? Number.NaN) + (known[Math.floor(middle)] ?? Number.NaN)) / 2
  let t = 0
  return slots.map((_, k) => {
    const gap = gaps[k] ?? null
    if (k > 0) t += gap === null ? 1 : Math.min(gap / median, LONGEST_GAP)
    return t
  })
}
