import type { Comparison } from '../../contract/comparison.ts'
import type { Mounting, Setup } from '../../contract/mounting.ts'
import type { Processing, Run, Side } from '../../contract/run.ts'
import type { Vehicle } from '../../contract/vehicle.ts'
import { channelsOf, type RunChannels } from './channels.ts'
import { conditionsOf, type RunConditions } from './conditions.ts'
import { type OrderBasis, orderOf, startOf_s } from './order.ts'
import { setupOf } from './setup.ts'

/** One run of the session: wire members resolved against its mounting, quantities in SI, null where not recorded. */
export interface SessionRun {
  /** The run as submitted. */
  readonly wire: Run
  /** Identity within the document. */
  readonly id: string
  /** Side it belongs to. */
  readonly side: Side
  /** Place in the order of all runs, from 0. */
  readonly position: number
  /** Its mounting: the id given, or one of its own block where none was given. */
  readonly mounting: string
  /** Whether the mounting was given. */
  readonly isMountingKnown: boolean
  /** Calendar day, `YYYY-MM-DD` in the offset it was written with; null when unknown. */
  readonly day: string | null
  /** Start since 1970-01-01T00:00:00Z; null when not recorded. [s] */
  readonly start_s: number | null
  /** What the operator set. */
  readonly setup: Setup
  /** What was measured around it, without oil that is not the engine's own. */
  readonly conditions: RunConditions
  /** What was already done to the figures. */
  readonly processing: Processing
  /** Recorded curves; null for a reported run. */
  readonly channels: RunChannels | null
}

/** A comparison made ready for the engine: every run resolved once and in order. */
export interface Session {
  /** The comparison as submitted. */
  readonly comparison: Comparison
  /** Every run, first made first. */
  readonly runs: readonly SessionRun[]
  /** What the order rests on. */
  readonly orderBasis: OrderBasis
  /** Measured runs that are neither excluded nor dropped, in order. */
  readonly used: readonly SessionRun[]
  /** Runs dropped as copies of others; empty until somebody has looked for them. */
  readonly dropped: ReadonlySet<SessionRun>
}

/**
 * The session behind a comparison.
 *
 * @param comparison a comparison that `readComparison` accepted.
 * @returns the session.
 * @throws EngineError when a quantity or channel cannot be read.
 *
 * A run without a mounting shares one with the neighbouring runs of its side that have none either.
 * Source: measurement-model §1.
 */
export function readSession(comparison: Comparison): Session {
  const mountings = new Map(comparison.mountings?.map((mounting) => [mounting.id, mounting]))
  const { indexes, basis } = orderOf(comparison.runs)
  const ordered = indexes.flatMap((index) => comparison.runs[index] ?? [])
  const blocks = unmountedBlocks(ordered)
  const runs = ordered.map((run, position) => {
    const mounting = run.mounting === undefined ? undefined : mountings.get(run.mounting)
    const made = sessionRun(run, position, mounting, blocks[position] ?? 0)
    return { ...made, conditions: ownConditions(made.conditions, vehicleOf({ comparison }, made)) }
  })
  const excluded = new Set(comparison.excluded?.map(({ run }) => run))
  return {
    comparison,
    runs,
    orderBasis: basis,
    used: runs.filter(({ wire, id }) => wire.purpose === 'measured' && !excluded.has(id)),
    dropped: new Set(),
  }
}

function sessionRun(run: Run, position: number, mounting: Mounting | undefined, block: number): SessionRun {
  return {
    wire: run,
    id: run.id,
    side: run.side,
    position,
    mounting: run.mounting ?? `(block ${block})`,
    isMountingKnown: run.mounting !== undefined,
    day: (run.startedAt ?? mounting?.at)?.slice(0, 10) ?? null,
    start_s: startOf_s(run),
    setup: setupOf(run, mounting),
    conditions: conditionsOf(run, mounting),
    processing: run.processing ?? {},
    channels: channelsOf(run),
  }
}

/** Number of the contiguous block of one side that each run stands in. */
function unmountedBlocks(ordered: readonly Run[]): number[] {
  const blocks: number[] = []
  ordered.forEach((run, position) => {
    const previous = ordered[position - 1]
    const continues = previous !== undefined && previous.side === run.side && previous.mounting === run.mounting
    blocks.push((blocks[position - 1] ?? 0) + (continues ? 0 : 1))
  })
  return blocks
}

/** The vehicle of a run; undefined where it names none that the document describes. */
export function vehicleOf(
  { comparison }: Pick<Session, 'comparison'>,
  { setup }: Pick<SessionRun, 'setup'>,
): Vehicle | undefined {
  return comparison.vehicles?.find(({ id }) => id === setup.vehicle)
}

/** Conditions without what the engine does not have: the oil of a two-stroke is that of its gearbox, not of the engine. */
function ownConditions(conditions: RunConditions, vehicle: Vehicle | undefined): RunConditions {
  return vehicle?.engine?.cycle === 'two-stroke' ? { ...conditions, oil_K: null } : conditions
}

/** The runs of one side. */
export function ofSide<R extends { readonly side: Side }>(runs: readonly R[], side: Side): R[] {
  return runs.filter((run) => run.side === side)
}
