/** The order of a plan's runs: written out, or drawn from a seed. */
import type { OrderDraw, Plan, PlannedBlock, PlanRequest } from './plan.ts'
import type { Side } from './run.ts'

/** One measured run as planned. */
export interface PlannedSlot {
  /** Id of the mounting. */
  readonly mounting: string
  /** Side of the run. */
  readonly side: Side
}

/**
 * The plan with its order: as written, or drawn. The draw is kept beside the blocks, so that anybody can repeat it.
 *
 * @param request a plan with exactly one of `blocks` and `draw`. Pure; never throws.
 */
export function frozenPlan({ blocks, draw, ...terms }: PlanRequest): Plan {
  if (draw === undefined) return { ...terms, blocks: blocks ?? [] }
  return { ...terms, blocks: drawnBlocks(draw), draw }
}

/**
 * An interleaved order: pairs of one baseline and one modified run, the first of each pair by lot. Neighbouring runs of
 * one side in one mounting are one block.
 *
 * Pair k (from 0, counted through all mountings) begins with the baseline when bit k of the lot is 0: the lowest bit of
 * the k-th output of the generator of `lots`. Pure; never throws.
 */
export function drawnBlocks({ seed, pairs, mountings }: OrderDraw): readonly PlannedBlock[] {
  const lot = lots(seed)
  const slots = mountings.flatMap((mounting) =>
    Array.from({ length: pairs }, () => (lot() % 2 === 0 ? BASELINE_FIRST : MODIFIED_FIRST)).flatMap((pair) =>
      pair.map((side) => ({ mounting, side })),
    ),
  )
  return blocksOf(slots)
}

const BASELINE_FIRST: readonly Side[] = ['baseline', 'modified']
const MODIFIED_FIRST: readonly Side[] = ['modified', 'baseline']

/**
 * Lots from a seed: xorshift32 (13, 17, 5), the seed first mixed by the finaliser of MurmurHash3 so that neighbouring seeds
 * draw unlike orders; the top 16 bits of each state.
 *
 * Source: G. Marsaglia, J. Statist. Softw. 8 (2003) 14 (from memory).
 */
function lots(seed: number): () => number {
  let state = mixed(seed) || 1
  return () => {
    state ^= state << 13
    state ^= state >>> 17
    state ^= state << 5
    return (state >>> 16) & 0xffff
  }
}

function mixed(seed: number): number {
  let hash = seed >>> 0
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b)
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35)
  return hash ^ (hash >>> 16)
}

function blocksOf(slots: readonly PlannedSlot[]): readonly PlannedBlock[] {
  const blocks: PlannedBlock[] = []
  for (const slot of slots) {
    const last = blocks.at(-1)
    if (last !== undefined && last.mounting === slot.mounting && last.side === slot.side) {
      blocks[blocks.length - 1] = { ...last, runs: last.runs + 1 }
    } else {
      blocks.push({ ...slot, runs: 1 })
    }
  }
  return blocks
}

/** Every measured run of a plan, in order. */
export function plannedSlots({ blocks }: Pick<Plan, 'blocks'>): readonly PlannedSlot[] {
  return blocks.flatMap(({ mounting, side, runs }) => Array.from({ length: runs }, () => ({ mounting, side })))
}

/** Whether every run of one side comes before every run of the other: then drift and warm-up look like a gain. */
export function isOneSideFirst({ blocks }: Pick<Plan, 'blocks'>): boolean {
  const changes = blocks.filter(({ side }, index) => index > 0 && side !== blocks[index - 1]?.side)
  return changes.length <= 1
}

/** The claims of a plan, the primary one first. */
export function plannedClaims({ primary, further }: Pick<Plan, 'primary' | 'further'>): readonly Plan['primary'][] {
  return [primary, ...(further ?? [])]
}
